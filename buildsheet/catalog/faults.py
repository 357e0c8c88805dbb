"""The findings that reading a catalog makes: where, what was found, what is allowed, what to try."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from math import isfinite

from buildsheet.catalog.codes import FAULT_CODES, SOURCE
from buildsheet.findings import Change, Finding, Value, pointer

LONGEST_WORD = 60
MOST_COMPARED = 3000
"""Known words that a misspelt one is held against; a catalog has some hundreds."""

MOST_LISTED = 12
LARGEST_WHOLE = 10**15


@dataclass(frozen=True, slots=True)
class Place:
    """A key in a file; ``keys`` run from the table down, list rows as numbers from 0. In a file without
    tables the first key is the line's number, from 1."""

    file: str
    keys: tuple[str | int, ...] = ()

    @property
    def at(self) -> str:
        """The JSON Pointer: file name, table, key.

        >>> Place("parts/rims.toml", ("OR33D", "holes", 0)).at
        '/parts/rims.toml/OR33D/holes/0'
        """
        return pointer(*self.file.split("/"), *self.keys)

    def __str__(self) -> str:
        """For people: ``parts/rims.toml [OR33D] holes, row 1``."""
        if not self.keys:
            return self.file
        head, *rest = self.keys
        if isinstance(head, int):  # a line of a file without tables
            return f"{self.file} line {head}" + "".join(f", {plain(str(each))}" for each in rest)
        is_table = bool(rest) or self.file.startswith(("parts/", "rules/"))
        words = [self.file, f"[{plain(str(head))}]" if is_table else plain(str(head))]
        if rest:
            first = str(rest[0]) if isinstance(rest[0], str) else f"row {rest[0] + 1}"
            words.append(plain(first))
        said = " ".join(words)
        for key in rest[1:]:
            said += f", row {key + 1}" if isinstance(key, int) else f", {plain(key)}"
        return said

    def under(self, *keys: str | int) -> Place:
        """A place further down."""
        return Place(self.file, (*self.keys, *keys))


def fault(
    code: str,
    place: Place,
    says: str,
    *,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
    also: Iterable[Place] = (),
    try_: Iterable[Change] = (),
) -> Finding:
    """One fault of a catalog file; ``says`` follows the place."""
    return Finding(
        code=code,
        severity="block",
        at=place.at,
        says=f"{place}: {says}",
        reason=FAULT_CODES[code].reason,
        source=SOURCE,
        have=have or {},
        need=need or {},
        also=tuple(each.at for each in also),
        try_=tuple(try_),
    )


def plain(text: str) -> str:
    """The text in one line of printable characters, cut with a sign where it is long.

    >>> plain("a" + chr(10) + "b")
    'a?b'
    """
    line = "".join(each if each.isprintable() else "?" for each in text[: LONGEST_WORD + 1])
    return line if len(line) <= LONGEST_WORD else line[:LONGEST_WORD] + "..."


def shown(value: object) -> Value:
    """What was found, as a JSON scalar that can be printed whatever stood in the file.

    >>> shown(float("nan")), shown([1, 2]), shown(33.0)
    ('nan', 'a list of 2', 33.0)
    """
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int):
        return value if abs(value) < LARGEST_WHOLE else "a whole number of more than 15 digits"
    if isinstance(value, float):
        return value if isfinite(value) else str(value)
    if isinstance(value, str):
        return plain(value)
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    if isinstance(value, Mapping):
        return "a table"
    return plain(str(value))


def said(value: object) -> str:
    """What was found, as words in a sentence; text in quotes.

    >>> said("33,0"), said(True), said(33.0)
    ('"33,0"', 'true', '33')
    """
    if isinstance(value, str):
        return f'"{plain(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and isfinite(value):
        return f"{value:g}"
    return str(shown(value))


def listed(words: Sequence[str]) -> str:
    """The words in a sentence, the first dozen of them.

    >>> listed(["KF1", "KF2"]), listed([])
    ('KF1, KF2', 'none')
    """
    shown_words = [plain(each) for each in words[:MOST_LISTED]]
    more = ["..."] if len(words) > MOST_LISTED else []
    return ", ".join(shown_words + more) or "none"


def nearest(word: object, known: Iterable[str]) -> str | None:
    """The known word that somebody may have meant, or None.

    >>> nearest("hoked", ["hooked", "hookless"])
    'hooked'
    """
    if not isinstance(word, str) or len(word) > LONGEST_WORD:
        return None
    by_lower = {each.lower(): each for each in known}
    found = get_close_matches(word.lower(), list(by_lower)[:MOST_COMPARED], n=1)
    return by_lower[found[0]] if found else None
