"""Names of people, typed by hand until they sign in with a key of their own."""

from __future__ import annotations

import unicodedata
from typing import Final

from buildsheet.errors import CallerError

LONGEST: Final = 60


class NoName(CallerError):
    """What was given is no name: it is empty, too long, or not one line."""

    def __init__(self) -> None:
        super().__init__(f"say who: a name of 1 to {LONGEST} characters in one line")


def name_of(text: str | None) -> str:
    """The name in one spelling: no space round it, one space between words. Raises NoName.

    >>> name_of("  R.   Example ")
    'R. Example'
    """
    name = " ".join((text or "").split())
    if not name or len(name) > LONGEST or not name.isprintable():
        raise NoName
    return name


def is_same_person(one: str, other: str) -> bool:
    """Whether two names are one, however they are spelled.

    >>> is_same_person("R. Example", " r.  EXAMPLE")
    True
    """
    return spelling_key(one) == spelling_key(other)


def spelling_key(name: str) -> str:
    """The name without what spellings differ in: case, spacing, compatibility forms.

    >>> spelling_key(" r.  EXAMPLE")
    'r. example'
    """
    folded = unicodedata.normalize("NFKC", name).casefold()
    # Some foldings are not in normal form again (the dotted capital I, for one).
    return " ".join(unicodedata.normalize("NFKC", folded).split())
