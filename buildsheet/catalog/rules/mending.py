"""Trouble in an expression, said to a person: what is wrong, the nearest names, the mended expression."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from itertools import pairwise
from typing import Final

from buildsheet.catalog.faults import plain
from buildsheet.catalog.rules.facts import declared, scopes_of
from buildsheet.catalog.rules.language import FUNCTIONS, Condition, Trouble, condition
from buildsheet.catalog.rules.rule import Scope
from buildsheet.catalog.rules.tokens import Token, caret, line_and_column, tokens

_UNDECLARED = re.compile(r"undeclared reference to '([^']*)'")
_OVERLOAD = re.compile(r"found no matching overload for '([^']*)' applied to '\(?(.*?)\)?'$")
_MIXED: Final = frozenset(
    {"(int, double)", "(double, int)", "(double, list(int))", "(int, list(double))"}
)
MOST_TRIED: Final = 80
"""Expressions tried to mend one: six mixed numbers in a row. More is written anew."""

LONGEST_MENDED: Final = 600
"""Characters: a longer expression is told what is wrong, and is not tried in eighty other spellings."""

WORDS: Final[Mapping[str, str]] = {
    "int": "a whole number",
    "double": "a number",
    "string": "a text",
    "bool": "true or false",
    "list(int)": "a list of whole numbers",
    "list(double)": "a list of numbers",
    "list(string)": "a list of texts",
}


@dataclass(frozen=True, slots=True)
class Explained:
    """One trouble, ready to be printed. ``line`` and ``column`` are from 1, and ``marked`` is the line
    with its caret; all three are None for the expression as a whole."""

    says: str
    line: int | None
    column: int | None
    marked: str | None
    mended: str | None


def explained(text: str, scope: Scope, troubles: tuple[Trouble, ...]) -> tuple[Explained, ...]:
    """Every trouble in a person's words. ``mended`` is the whole expression with whole numbers and
    numbers set right, where that alone makes it a condition."""
    mended = _mended(text, scope)
    return tuple(_explained(text, scope, each, mended) for each in troubles)


def _explained(text: str, scope: Scope, trouble: Trouble, mended: str | None) -> Explained:
    mixed = _is_mixed(trouble)
    name = _name_at(text, trouble)
    place = _start_of_call(text, trouble.place) if name is None else name.start
    says = _words(trouble, name, scope, called=name is not None and _is_called(text, name))
    if place is None or place > len(text):
        return Explained(says, None, None, None, mended if mixed else None)
    line, column = line_and_column(text, place)
    return Explained(says, line, column, caret(text, place), mended if mixed else None)


def _is_mixed(trouble: Trouble) -> bool:
    found = _OVERLOAD.search(trouble.says)
    return found is not None and f"({', '.join(_kinds(found[2]))})" in _MIXED


def _kinds(given: str) -> list[str]:
    """The library's names of types in the words that facts are declared with."""
    return [each.strip().replace("<", "(").replace(">", ")") for each in given.split(", ")]


def _words(trouble: Trouble, name: Token | None, scope: Scope, *, called: bool) -> str:
    if name is not None:
        return _unknown(name.text, scope, called=called)
    found = _OVERLOAD.search(trouble.says)
    if found:
        return _no_overload(found[1], found[2])
    if "Syntax error" in trouble.says:
        return f"not a CEL expression: {_misplaced(trouble.says)}."
    said = plain(trouble.says) if len(trouble.says) > 200 else trouble.says
    return said if said.endswith(".") else f"{said}."


def _no_overload(sign: str, given: str) -> str:
    kinds = _kinds(given)
    known = [WORDS.get(each, plain(each)) for each in kinds]
    sign = sign.strip("_@").replace("_", " ") or sign
    if f"({', '.join(kinds)})" in _MIXED:
        return f"{sign} stands between {known[0]} and {known[1]}, which CEL never mixes."
    if len(known) == 2:
        return f"{sign} does not go with {known[0]} and {known[1]}."
    return f"{sign} does not go with {', '.join(known)}."


def _misplaced(says: str) -> str:
    found = re.search(r"'(.*?)'(?: expecting|$)", says)
    if found is None:
        return plain(says.removeprefix("Syntax error: "))
    return "it ends too soon" if "<EOF>" in found[1] else f"{plain(found[1])} is out of place"


def _name_at(text: str, trouble: Trouble) -> Token | None:
    """The whole dotted name that the library does not know; it points at the last dot."""
    if trouble.place is None or not _UNDECLARED.search(trouble.says):
        return None
    at = trouble.place
    names = (each for each in tokens(text) if each.kind == "name")
    return next((each for each in names if each.start <= at <= each.end), None)


def _start_of_call(text: str, place: int | None) -> int | None:
    """The function's name, where the library points at the bracket behind it."""
    words = tokens(text)
    for name, bracket in pairwise(words):
        if bracket.start == place and bracket.text == "(" and name.kind == "name":
            return name.start
    return place


def _is_called(text: str, name: Token) -> bool:
    return text[name.end :].lstrip().startswith("(")


def _unknown(name: str, scope: Scope, *, called: bool) -> str:
    if called:
        name, _, function = name.rpartition(".")
        if function not in FUNCTIONS or not name:
            return f"no function {plain(function)}; there are {', '.join(FUNCTIONS)}."
    elsewhere = scopes_of(name)
    if elsewhere:
        return f"{name} is a fact of scope {' and '.join(elsewhere)}, not of scope {scope}."
    near = nearest_facts(name, scope)
    hint = f" Try {' or '.join(near)}." if near else ""
    return f"no fact {plain(name)} in scope {scope}.{hint}"


def nearest_facts(name: str, scope: Scope) -> list[str]:
    """Up to three facts of the scope that may have been meant, the likeliest first.

    >>> nearest_facts("rim.hole", "wheel")[0]
    'rim.holes'
    """
    known = declared(scope)
    last = name.rsplit(".", 1)[-1]
    same_end = [each for each in known if each.rsplit(".", 1)[-1] == last]
    same_end.sort(key=lambda each: not each.startswith(("wheel.", "use.")))
    close = get_close_matches(name[:60].lower(), known, n=3, cutoff=0.7)
    return list(dict.fromkeys([*close[:1], *same_end[:2], *close[1:]]))[:3]


@lru_cache(maxsize=256)
def _mended(text: str, scope: Scope) -> str | None:
    """The expression with every whole number that meets a number set right: the nearest such
    expression, of the first few that are tried. Other trouble stays, none may come."""
    if len(text) > LONGEST_MENDED:
        return None
    others = _others(text, scope)
    tried, waiting = {text}, deque([text])
    while waiting:
        candidate = waiting.popleft()
        found = condition(candidate, scope)
        mixed = () if isinstance(found, Condition) else tuple(filter(_is_mixed, found))
        if not mixed:
            if candidate != text and _others(candidate, scope) <= others:
                return candidate
            continue
        for better in _candidates(candidate, mixed[0].place):
            if better not in tried and len(tried) < MOST_TRIED:
                tried.add(better)
                waiting.append(better)
    return None


def _others(text: str, scope: Scope) -> int:
    """How much trouble has nothing to do with mixed numbers."""
    found = condition(text, scope)
    return 0 if isinstance(found, Condition) else sum(not _is_mixed(each) for each in found)


def _candidates(text: str, place: int | None) -> Iterator[str]:
    """The expression with the value on either side of the sign turned into a double."""
    words = tokens(text) if place is not None else ()
    sign = next((n for n, each in enumerate(words) if each.start == place), None)
    if sign is None:
        return
    for first, last in (_after(words, sign + 1), _before(words, sign - 1)):
        if first is None or last is None:
            continue
        start, end = words[first].start, words[last].end
        yield text[:start] + _as_double(text[start:end]) + text[end:]


def _as_double(inner: str) -> str:
    """A value as a double: a written number gets its point, a written list gets it on every number.

    >>> _as_double("100"), _as_double("wheel.holes"), _as_double("[30, 45]")
    ('100.0', 'double(wheel.holes)', '[30.0, 45.0]')
    """
    words = tokens(inner)
    if words[0].text == "[":
        whole = [each for each in words if each.kind == "number" and each.text.isdigit()]
        for each in reversed(whole):
            inner = f"{inner[: each.end]}.0{inner[each.end :]}"
        return inner
    if inner.isdigit():
        return f"{inner}.0"
    return f"double{inner}" if inner.startswith("(") else f"double({inner})"


Span = tuple[int | None, int | None]
_OPEN, _CLOSE = "([{", ")]}"


def _after(words: tuple[Token, ...], at: int) -> Span:
    """The value that begins at a word: a number or name with what belongs to it."""
    while at < len(words) and words[at].text == "-":
        at += 1
    if at >= len(words):
        return None, None
    first = at
    if words[at].text in _OPEN:
        at = _partner(words, at, 1)
    while at + 1 < len(words) and words[at + 1].text in ("(", "["):
        at = _partner(words, at + 1, 1)
    return (first, at) if at < len(words) else (None, None)


def _before(words: tuple[Token, ...], at: int) -> Span:
    """The value that ends at a word."""
    if at < 0:
        return None, None
    last = at
    while at >= 0 and words[at].text in (")", "]"):
        at = _partner(words, at, -1)
        if at > 0 and (words[at - 1].kind == "name" or words[at - 1].text in (")", "]")):
            at -= 1
        else:
            break
    return (at, last) if at >= 0 else (None, None)


def _partner(words: tuple[Token, ...], at: int, step: int) -> int:
    """The bracket that belongs to the one at ``at``; outside the words where there is none."""
    depth = 0
    while 0 <= at < len(words):
        depth += (words[at].text in _OPEN) - (words[at].text in _CLOSE)
        if depth == 0:
            return at
        at += step
    return at
