"""Whole numbers that a form brings: the version of a draft, an edition, a revision, a pass."""

from __future__ import annotations

import re
from typing import Final

_WHOLE: Final = re.compile(r"[0-9]{1,15}")


def whole_number(text: str) -> int:
    """The number. Raises ValueError for what is none, and for more digits than anything here is counted
    in: such a number is no version of ours, and neither the workshop file nor a double could hold it.

    >>> whole_number("17")
    17
    >>> whole_number("9" * 16)
    Traceback (most recent call last):
    ...
    ValueError: no whole number of up to 15 digits
    """
    if not _WHOLE.fullmatch(text):
        raise ValueError("no whole number of up to 15 digits")
    return int(text)


def number_or_text(text: str) -> int | str:
    """The number, or the text where it is none: the reader of the document then says so, with its place.

    >>> number_or_text("2"), number_or_text("two"), number_or_text("")
    (2, 'two', '')
    """
    try:
        return whole_number(text)
    except ValueError:
        return text
