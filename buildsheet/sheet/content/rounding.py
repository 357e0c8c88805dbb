"""Numbers as paper shows them: no more digits than a bench can act on.

Newtons to 10, kilogram-force to 1, lengths to the tenth or the whole, grams to 1. Limits are rounded
to their safe side.
"""

from __future__ import annotations

from math import ceil, floor
from typing import Final

from buildsheet.units import kgf

NONE: Final = "\u2014"
"""A dash: printed where there is no number."""

TIMES: Final = "\u00d7"
"""The multiplication sign, named because it looks like a letter."""

TO: Final = "\u2013"
"""The dash of a range."""

_STEP_N: Final = 10


def newtons(force_n: float) -> str:
    """To the nearest 10 N.

    >>> newtons(765.7)
    '770'
    """
    return str(round(force_n / _STEP_N) * _STEP_N)


def newtons_down(force_n: float) -> str:
    """An upper limit: down to 10 N.

    >>> newtons_down(1219.0)
    '1210'
    """
    return str(floor(force_n / _STEP_N + 1e-9) * _STEP_N)


def newtons_up(force_n: float) -> str:
    """A lower limit: up to 10 N.

    >>> newtons_up(1058.0)
    '1060'
    """
    return str(ceil(force_n / _STEP_N - 1e-9) * _STEP_N)


def kilograms_force(force_n: float) -> str:
    """To the nearest kgf.

    >>> kilograms_force(1150.0)
    '117'
    """
    return str(round(kgf(force_n)))


def kilograms_force_down(force_n: float) -> str:
    """An upper limit: down to 1 kgf.

    >>> kilograms_force_down(1210.0)
    '123'
    """
    return str(floor(kgf(force_n) + 1e-9))


def tenths(value: float) -> str:
    """To one decimal."""
    return f"{value:.1f}"


def hundredths(value: float) -> str:
    """To two decimals."""
    return f"{value:.2f}"


def whole(value: float | None) -> str:
    """To the unit; a dash where there is none."""
    return NONE if value is None else str(round(value))


def percent(value: float) -> str:
    """Without idle decimals.

    >>> percent(8.0), percent(7.5)
    ('8', '7.5')
    """
    return f"{value:g}"
