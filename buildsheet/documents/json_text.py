"""A text as JSON, read by Python's own parser, with what that parser would let pass or lose still in it.

A member given twice and a number that JSON or a double cannot hold are kept as what they are: whoever looks
at the members can then say where they stand.
"""

from __future__ import annotations

import json
import re
from typing import Final

from buildsheet.findings import Value

MOST_DIGITS: Final = 15
"""Every whole number of so many digits is exact in a double."""


class NoNumber:
    """Stands where the text has a number that JSON or a double cannot hold."""

    def __init__(self, text: str) -> None:
        self.text = text


class Twice(dict[str, object]):
    """An object in whose text a member stands twice; ``names`` says which."""

    names: frozenset[str] = frozenset()


def levels(text: str, most: int) -> int:
    """How deep objects and lists nest, counted before the parser's own stack is at stake."""
    if text.count("{") + text.count("[") <= most:
        return 0
    deepest = level = 0
    in_string = escaped = False
    for character in text:
        if in_string:
            if escaped:
                escaped = False
            elif character == "\\":
                escaped = True
            elif character == '"':
                in_string = False
        elif character == '"':
            in_string = True
        elif character in "{[":
            level += 1
            if level > most:
                return level
            deepest = max(deepest, level)
        elif character in "}]":
            level -= 1
    return deepest


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    plain = dict(pairs)
    if len(plain) == len(pairs):
        return plain
    seen: set[str] = set()
    names = [name for name, _ in pairs if name in seen or seen.add(name)]  # type: ignore[func-returns-value]
    twice = Twice(plain)
    twice.names = frozenset(names)
    return twice


_PLAIN: Final = json.JSONDecoder(object_pairs_hook=_object, parse_constant=NoNumber)
_NOT_PLAIN: Final = re.compile("\\A\ufeff|[0-9](?:[0-9]{15}|[eE])")


def quickly(text: str) -> dict[str, Value] | None:
    """The object that the text holds, its numbers as Python reads them: what it reads in another way than
    `strictly` is beyond what a member may have. None where there is none, or no text that is JSON."""
    try:
        loaded: object = _PLAIN.decode(text)
    except ValueError:  # no JSON, or a whole number of thousands of digits
        return None
    return loaded if type(loaded) is dict else None


def strictly(text: str) -> object:
    """What the text holds. Raises json.JSONDecodeError where it is no JSON.

    Where none of its numbers has an exponent or sixteen digits in a row, Python's own reading keeps them
    all; so it is with most texts, which are then read in half the time.
    """
    if _NOT_PLAIN.search(text) is None:
        loaded: object = _PLAIN.decode(text)
        return loaded
    closely: object = json.loads(
        text,
        object_pairs_hook=_object,
        parse_constant=NoNumber,
        parse_int=_whole,
        parse_float=_fraction,
    )
    return closely


def _whole(text: str) -> int | NoNumber:
    return int(text) if len(text.lstrip("-")) <= MOST_DIGITS else NoNumber(text)


def _fraction(text: str) -> float | NoNumber:
    value = float(text)
    return value if value - value == 0.0 else NoNumber(text)
