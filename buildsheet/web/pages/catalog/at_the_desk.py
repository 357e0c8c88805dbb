"""Findings and edits of a draft in the words of its forms: "OR50D, rim, seat diameter (mm)", not a file
and a key. The place itself stays in small print, for whoever reads the files."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from typing import Final

from buildsheet.catalog.edition import KINDS
from buildsheet.findings import Change, Finding, Value
from buildsheet.web.pages.catalog.form.called import HOUSE, RULE, called, keys_of
from buildsheet.web.pages.catalog.form.words import KIND_WORDS, LABELS
from buildsheet.web.pages.catalog.place import members

_CELL: Final = re.compile(r"[^/]+![A-Z]+[0-9]+")
"""A cell of a spreadsheet that was brought."""

UNKNOWN_KEY: Final = "data.unknown-key"
"""Is about what somebody wrote as a key: it is told as it was written."""

_STEP = "(?:row [0-9]+|[A-Za-z0-9_]+)"
_KEYS = f"{_STEP}(?:, {_STEP})*"
_PLACE: Final = re.compile(
    r"(?P<file>house|(?:parts/)?(?:" + "|".join(KINDS) + r")|rules/[a-z0-9-]+)\.toml"
    rf"(?: \[(?P<table>[^\]]+)\](?: (?P<keys>{_KEYS})(?=:|$))?| (?P<line>{_KEYS})(?=:|$))?"
)
"""A place in a catalog file, as findings write it in front of what they say."""

_KEY: Final = re.compile(r'"[^"]*"|(?<![\w./])(?:[a-z][a-z0-9_]*\.)*[a-z][a-z0-9]*(?:_[a-z0-9]+)+')
"""A key with its unit in running text, or what stands in quotes and is left alone."""

_CHANGED: Final = re.compile(
    r'"[^"]*"|(?<![\w.])[a-z][a-z0-9_]*(?:\.[A-Za-z0-9_]+)*(?= = | left out\b)'
)
"""A key of which a history says what became of it."""


def at_the_desk(findings: Iterable[Finding]) -> list[dict[str, Value]]:
    """The findings as documents, for the template that prints them, in the words of the forms."""
    return [_in_words(each).as_json() for each in findings]


def _in_words(finding: Finding) -> Finding:
    return replace(
        finding,
        says=sentence(finding),
        try_=tuple(Change(place_in_words(each.at), each.values) for each in finding.try_),
        together=tuple(
            {place_in_words(at): value for at, value in each.items()} for each in finding.together
        ),
    )


def sentence(finding: Finding) -> str:
    """What a finding says, with the place and the keys in words.

    A finding whose place is in no catalog file says what it says.
    """
    of = _of(members(finding.at))
    before, colon, after = _large(_PLACE.sub(_place, finding.says)).partition(": ")
    if not of or finding.code == UNKNOWN_KEY:
        return before + colon + after
    return before + colon + keys_in_words(after, of)


def at_the_field(finding: Finding) -> str:
    """The sentence without the place in front of it, which the field that it stands at shows already."""
    place, colon, rest = finding.says.partition(": ")
    if not colon or not place.startswith(("parts/", "rules/", "house.toml")):
        return sentence(finding)
    of = _of(members(finding.at))
    rest = _PLACE.sub(_place, rest)
    return _large(keys_in_words(rest, of) if of and finding.code != UNKNOWN_KEY else rest)


def keys_in_words(text: str, of: str) -> str:
    """A sentence in which the keys of this kind of part are called as the forms call them.

    >>> keys_in_words("33 is not below outer_width_mm 28.", "rims")
    '33 is not below outer width (mm) 28.'
    """
    return _KEY.sub(lambda found: _small(_word(found[0], of)), text)


def edit_in_words(says: str) -> str:
    """An edit of the history with the keys that it changed in words; what stands in quotes stays.

    >>> edit_in_words('OR50D: depth_mm = 50, name = "depth_mm = 3"')
    'OR50D: depth (mm) = 50, name = "depth_mm = 3"'
    """

    def told(found: re.Match[str]) -> str:
        for of in (*KINDS, HOUSE, RULE):
            word = _word(found[0], of)
            if word != found[0]:
                return _small(word)
        return found[0]

    return _CHANGED.sub(told, says)


def place_in_words(at: str) -> str:
    """A place in a catalog file as the desk calls it; any other place as it is.

    >>> place_in_words("/parts/rims.toml/OR50D/seat_diameter_mm")
    'OR50D, rim, seat diameter (mm)'
    >>> place_in_words("/house.toml/tension/band_percent"), place_in_words("/front/hub")
    ('House figures, tension: band (%)', '/front/hub')
    >>> place_in_words("/Rims!C2")
    'Rims!C2'
    """
    place = members(at)
    if len(place) == 1 and _CELL.fullmatch(place[0]):
        return place[0]
    of = _of(place)
    if not of:
        return at
    if of == HOUSE:
        return _large(_joined("house figures", _keys_of_place(place[1:], HOUSE)))
    table, keys = place[2] if len(place) > 2 else "", _keys_of_place(place[3:], of)
    return _large(_joined(_named(of, table), keys))


def box_in_words(name: str, of: str) -> str:
    """What the box of a form is called that is sent under this name.

    >>> box_in_words("pressure_limits.0.limit_bar", "rims")
    'Highest pressure by tyre width, row 1, highest pressure (bar)'
    """
    said = name if name in keys_of(of) else _keys_of_place(tuple(name.split(".")), of)
    return called(name, of) if said == name else _large(said)


def _of(place: tuple[str, ...]) -> str:
    """The kind of part, ``house`` or ``rule`` that a place is in; '' for another place."""
    if place[:1] == ("house.toml",):
        return HOUSE
    if len(place) < 2 or not place[1].endswith(".toml"):
        return ""
    name = place[1].removesuffix(".toml")
    return RULE if place[0] == "rules" else name if place[0] == "parts" and name in KINDS else ""


def _place(found: re.Match[str]) -> str:
    """What a place that stands in a sentence is called."""
    file, table, keys = found["file"], found["table"], found["keys"] or found["line"] or ""
    steps = tuple(each.removeprefix("row ") for each in keys.split(", ") if each)
    if file == HOUSE:
        return _joined(
            "house figures", _keys_of_place(((table,) if table else ()) + steps, HOUSE, 0)
        )
    of = RULE if file.startswith("rules/") else file.removeprefix("parts/")
    return _joined(_named(of, table or ""), _keys_of_place(steps, of, 0))


def _named(of: str, table: str) -> str:
    if of == RULE:
        return {"": "the rules", "rule": "a rule"}.get(table, f"rule {table}")
    one, many = KIND_WORDS[of]
    return f"{table}, {one}" if table else _small(many)


def _keys_of_place(steps: tuple[str, ...], of: str, first: int = 1) -> str:
    """The keys of a place in words. Numbers are rows, ``first`` what is added to count them from 1."""
    told: list[str] = []
    keys: list[str] = []
    for each in steps:
        if each.isdecimal():
            told += [_small(_word(".".join(keys), of))] if keys else []
            told.append(f"row {int(each) + first}")
            keys = []
        else:
            keys.append(each)
    told += [_small(_word(".".join(keys), of))] if keys else []
    return ", ".join(told)


def _joined(name: str, keys: str) -> str:
    return f"{name}, {keys}" if keys else name


def _word(key: str, of: str) -> str:
    """What a key is called; itself where the kind knows no such key."""
    if of == HOUSE and key.startswith("markets."):
        _, market, *figure = key.split(".")
        return ": ".join([f"Market {market}", *(_small(called(each, of)) for each in figure)])
    return called(key, of) if key in keys_of(of) or key in _last(of) or key in LABELS else key


@cache
def _last(of: str) -> frozenset[str]:
    """The words that keys of a kind are made of, tables and the last word of each."""
    return frozenset(
        word for key in keys_of(of) for word in (key.rsplit(".", 1)[-1], key.split(".")[0])
    )


def _small(words: str) -> str:
    """As it stands in the middle of a sentence."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def _large(words: str) -> str:
    """As it stands where a sentence begins."""
    return words[:1].upper() + words[1:]
