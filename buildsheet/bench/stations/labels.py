"""What everything of a wheel's day is called: the one place for the words of pages, findings and paper."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

READINGS: Final = "readings"
SIGN: Final = "sign"
"""Two things to do that are no stations: a pass of readings, and standing for it."""

SLACKEN: Final = "slacken"
"""What comes before anything else on a wheel with a spoke that is too tight."""

GAUGE_CHECK: Final = "gauge-check"

LABELS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "rim-gate": "Rim gate",
        "kit": "Kit check",
        "drill": "Drilling",
        "first-spoke": "First spokes",
        "half-way": "Half-way gate",
        "relief": "Stress relief",
        READINGS: "Readings",
        SIGN: "Verdict and signature",
        "finishing": "Finishing",
        "pair": "Pair check",
        "box": "Box",
        "ship": "Hand-over",
        GAUGE_CHECK: "Gauge check of the day",
    }
)
"""In the order of the day; drilling only where rims are drilled to order."""


def called(name: str) -> str:
    """What a station is called; the name itself, with spaces, where the record has one of another time.

    >>> called("ship"), called("hot-gate")
    ('Hand-over', 'hot gate')
    """
    return LABELS.get(name, name.replace("-", " "))


def listed(names: Iterable[str]) -> str:
    """Several of them, as a sentence lists them.

    >>> listed(["rim-gate", "kit", "half-way"]), listed(["box"])
    ('Rim gate, Kit check and Half-way gate', 'Box')
    """
    *first, last = (called(each) for each in names)
    return f"{', '.join(first)} and {last}" if first else last
