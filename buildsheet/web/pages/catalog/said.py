"""Words and numbers of the desk's templates."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from flask import Blueprint

from buildsheet.catalog.differences import Differences
from buildsheet.catalog.second_person import needs_second_person
from buildsheet.web.pages.catalog.at_the_desk import at_the_desk, edit_in_words, sentence
from buildsheet.web.pages.catalog.form.called import called
from buildsheet.web.pages.catalog.form.rule_fields import example_line
from buildsheet.web.pages.catalog.form.words import KIND_WORDS, STATE_WORDS
from buildsheet.web.pages.catalog.form.written import as_text

DIGEST_LETTERS: Final = 12


def add_routes(blueprint: Blueprint) -> None:
    """Make these words known to the templates; there is no route here."""
    filters: dict[str, Callable[..., Any]] = {
        "kind": one_of_kind,
        "kinds": all_of_kind,
        "part_state": part_state,
        "short_digest": short_digest,
        "start": start,
        "grouped": grouped,
        "counted": counted,
        "as_text": as_text,
        "capitalize_first": capital_first,
        "plain_value": plain_value,
        "figure": figure,
        "example_line": example_line,
        "called": called,
        "second_person": second_person,
        "at_the_desk": at_the_desk,
        "desk_sentence": sentence,
        "edit_in_words": edit_in_words,
    }
    for name, spoken in filters.items():
        blueprint.add_app_template_filter(spoken, name)


def second_person(changes: Differences) -> tuple[str, ...]:
    """What of these changes needs a second person, in the words of the forms."""
    return tuple(capital_first(each) for each in needs_second_person(changes, called))


def one_of_kind(kind: str) -> str:
    """A part of this kind, in words.

    >>> one_of_kind("end_caps")
    'pair of end caps'
    """
    return KIND_WORDS[kind][0]


def all_of_kind(kind: str) -> str:
    """The parts of this kind, in words."""
    return KIND_WORDS[kind][1]


def part_state(state: str) -> str:
    """Where a part stands, in words."""
    return STATE_WORDS.get(state, state)


def short_digest(digest: str) -> str:
    """The first letters of a digest: enough to compare by eye.

    >>> short_digest("sha256:0123456789abcdef")
    '0123456789ab'
    """
    return digest.removeprefix("sha256:")[:DIGEST_LETTERS]


def start(moment: str) -> str:
    """A start to the minute, with the zone it was written in.

    >>> start("2031-04-01T06:00:00+02:00"), start("2031-05-01T08:00:00.000Z")
    ('2031-04-01 06:00 +02:00', '2031-05-01 08:00 UTC')
    """
    zone = "UTC" if moment.endswith("Z") else moment[-6:]
    return f"{moment[:10]} {moment[11:16]} {zone}"


def grouped(number: int) -> str:
    """A whole number in groups of three, as people read it.

    >>> grouped(1234567)
    '1\u202f234\u202f567'
    """
    return f"{number:,}".replace(",", "\u202f")


def capital_first(sentence: str) -> str:
    """The sentence with a capital; the rest stays as it is.

    >>> capital_first("a number from 8 to 120")
    'A number from 8 to 120'
    """
    return sentence[:1].upper() + sentence[1:]


def figure(value: float | str | None) -> str:
    """A computed figure to a tenth, a code as it is.

    >>> figure(276.84), figure(1160.0), figure("DP-1"), figure(None)
    ('276.8', '1160', 'DP-1', 'none')
    """
    if value is None:
        return "none"
    return value if isinstance(value, str) else f"{round(value, 1):g}"


def plain_value(value: Any) -> str:
    """A value of a catalog table in one line.

    >>> plain_value(None), plain_value([20, 24]), plain_value(33.0)
    ('not said', '20 24', '33')
    """
    if value is None:
        return "not said"
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {plain_value(each)}" for key, each in value.items())
    if isinstance(value, (list, tuple)):
        between = "; " if any(isinstance(each, Mapping) for each in value) else " "
        return between.join(plain_value(each) for each in value) or "none"
    return as_text(value)


def counted(number: int, one: str, many: str = "") -> str:
    """A count with its word.

    >>> counted(1, "part"), counted(3, "part"), counted(2, "entry", "entries")
    ('1 part', '3 parts', '2 entries')
    """
    return f"{grouped(number)} {one if number == 1 else many or one + 's'}"
