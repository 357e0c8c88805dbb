"""The words of an expression with their places: names with their dots, numbers, texts, signs.

Only for pointing and for mending: what an expression means is decided by CEL itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal["name", "number", "text", "sign"]

_TOKEN: Final = re.compile(
    r"""
    (?P<skip>\s+|//[^\n]*)
  | (?P<text>[rRbB]{0,2}(?:\"{3}(?:\\.|[^\\])*?\"{3}|'{3}(?:\\.|[^\\])*?'{3}
            |\"(?:\\.|[^\\\"\n])*\"|'(?:\\.|[^\\'\n])*'))
  | (?P<number>0[xX][0-9a-fA-F]+[uU]?
            |[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?[uU]?|\.[0-9]+(?:[eE][+-]?[0-9]+)?)
  | (?P<name>[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)*)
  | (?P<sign><=|>=|==|!=|&&|\|\||.)
    """,
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Token:
    """One word: ``start`` and ``end`` are places in the expression, in characters from 0."""

    kind: Kind
    text: str
    start: int

    @property
    def end(self) -> int:
        """The place behind it."""
        return self.start + len(self.text)


def tokens(expression: str) -> tuple[Token, ...]:
    """The words in their order; blanks and comments left out.

    >>> [each.text for each in tokens("rim.depth_mm >= 50.0 // deep")]
    ['rim.depth_mm', '>=', '50.0']
    """
    return tuple(_tokens(expression))


def _tokens(expression: str) -> Iterator[Token]:
    for found in _TOKEN.finditer(expression):
        if found["text"] is not None:
            yield Token("text", found["text"], found.start())
        elif found["number"] is not None:
            yield Token("number", found["number"], found.start())
        elif found["name"] is not None:
            yield Token("name", found["name"], found.start())
        elif found["sign"] is not None:
            yield Token("sign", found["sign"], found.start())


def longest_list(words: tuple[Token, ...]) -> int:
    """How many entries the longest written list has.

    >>> longest_list(tokens("rim.depth_mm in [30.0, 45.0]"))
    2
    """
    longest = 0
    open_: list[int] = []
    for word in words:
        if word.text in ("[", "(", "{"):
            open_.append(1)
        elif word.text == "," and open_:
            open_[-1] += 1
            longest = max(longest, open_[-1])
        elif word.text in ("]", ")", "}") and open_:
            open_.pop()
    return longest


def line_and_column(expression: str, place: int) -> tuple[int, int]:
    """Where a place stands, both from 1.

    >>> line_and_column("a &&" + chr(10) + "b", 5)
    (2, 1)
    """
    before = expression[:place]
    return before.count("\n") + 1, place - (before.rfind("\n") + 1) + 1


def caret(expression: str, place: int) -> str:
    """The line with a caret under the place, cut to a window of 80 characters around it.

    >>> print(caret("rim.hole == 24", 0))
    rim.hole == 24
    ^
    """
    line, column = line_and_column(expression, place)
    text = expression.split("\n")[line - 1]
    text = "".join(each if each.isprintable() else "?" for each in text)
    first = max(0, column - 41)
    cut = text[first : first + 80]
    return f"{cut}\n{' ' * (column - 1 - first)}^"
