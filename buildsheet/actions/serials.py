"""Numbers that people read aloud, write by hand and type: wheels, orders, issues and bench codes.

A wheel is ``W26-00017-F``: letter, year, running number, check letter. The check letter is the number
modulo 23 in an alphabet without I, L and O: as 23 is prime and larger than 10, one wrong digit and two
neighbouring digits exchanged always change it (own calculation, proved by a test over all digits).
"""

from __future__ import annotations

import re
from typing import Final

CHECK_LETTERS: Final = "ABCDEFGHJKMNPQRSTUVWXYZ"
ISSUE_LETTERS: Final = "ABCDEFGHJKMNPQRSTUVWXYZ"
CODE_LETTERS: Final = "abcdefghjklmnpqrstuvwxyz23456789"
"""32 characters that are hard to mistake: no i, o, 0, 1."""

CODE_BYTES: Final = 20
"""Twenty characters of five bits: 100 bits, nothing to guess. One byte of chance each."""

MOST_A_YEAR: Final = 99_999
WHEEL: Final = "W"
ORDER: Final = "A"

_LETTER_OF_BYTE: Final = CODE_LETTERS.encode() * (256 // len(CODE_LETTERS))

_SHAPE: Final = re.compile(r"([WA])([0-9]{2})-([0-9]{5})-([A-Z])")


def serial(kind: str, year: int, number: int) -> str:
    """The number as printed. Raises ValueError beyond what a year holds.

    >>> serial("W", 2026, 17)
    'W26-00017-F'
    """
    if not 1 <= number <= MOST_A_YEAR:
        raise ValueError(f"number {number} does not fit into 1 to {MOST_A_YEAR} a year")
    digits = f"{year % 100:02d}{number:05d}"
    return f"{kind}{digits[:2]}-{digits[2:]}-{check_letter(digits)}"


def check_letter(digits: str) -> str:
    """The letter that catches a digit misread and two digits exchanged.

    >>> check_letter("2600017"), check_letter("2600071")
    ('F', 'Q')
    """
    return CHECK_LETTERS[int(digits) % len(CHECK_LETTERS)]


def well_formed(text: str) -> bool:
    """Whether a text is a number that this workshop could have given out.

    >>> well_formed("W26-00017-F"), well_formed("W26-00071-F"), well_formed("17")
    (True, False, False)
    """
    shape = _SHAPE.fullmatch(text)
    return shape is not None and check_letter(shape[2] + shape[3]) == shape[4]


def as_typed(text: str) -> str:
    """A number as a person may have typed it, in the form it was printed in.

    >>> as_typed(" w26 00017 f ")
    'W26-00017-F'
    """
    letters = "".join(each for each in text.upper() if each.isascii() and each.isalnum())
    if len(letters) == 9:
        return f"{letters[:3]}-{letters[3:8]}-{letters[8]}"
    return text.strip()


def next_issue(issue: str | None) -> str:
    """The issue letter after this one; the first is A.

    >>> next_issue(None), next_issue("A"), next_issue("H")
    ('A', 'B', 'J')
    """
    if issue is None:
        return ISSUE_LETTERS[0]
    place = ISSUE_LETTERS.index(issue) + 1
    if place == len(ISSUE_LETTERS):
        raise ValueError("no issue letter is left after Z")
    return ISSUE_LETTERS[place]


def bench_code(chance: bytes) -> str:
    """The code of one sheet's QR, from `CODE_BYTES` bytes of chance.

    >>> bench_code(bytes(range(20)))
    'abcdefghjklmnpqrstuv'
    """
    if len(chance) != CODE_BYTES:
        raise ValueError(f"a bench code needs {CODE_BYTES} bytes of chance, got {len(chance)}")
    return chance.translate(_LETTER_OF_BYTE).decode("ascii")
