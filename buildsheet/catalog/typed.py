"""Numbers as people type them: with a decimal point or a decimal comma, and with nothing else."""

from __future__ import annotations

import re
from math import isfinite
from typing import Final

LONGEST_NUMBER: Final = 26
"""Characters; the longest number that a computer writes has 24."""

_NUMBER: Final = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?", re.ASCII)


def typed_number(text: str) -> int | float | None:
    """The number that a text is, or None. Never a guess: a thousands mark makes it no number.

    >>> typed_number("573,6"), typed_number(" 24 "), typed_number("1.234,5"), typed_number("1 234")
    (573.6, 24, None, None)
    """
    text = text.strip()
    if len(text) > LONGEST_NUMBER or not _NUMBER.fullmatch(text):
        return None
    if decimal_mark(text) or "e" in text.lower():
        number = float(text.replace(",", "."))
        return number if isfinite(number) else None
    return int(text)


def decimal_mark(text: str) -> str:
    """The mark that a number is typed with: a comma, a point, or none.

    >>> decimal_mark("573,6"), decimal_mark("573.6"), decimal_mark("24")
    (',', '.', '')
    """
    return "," if "," in text else "." if "." in text else ""
