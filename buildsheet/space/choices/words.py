"""Places and values of an order in a person's words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from buildsheet.findings import Value

_NAMES: Final = {
    "/use/class": "class of use",
    "/use/tyre_width_mm": "tyre width",
    "/use/tyre_bead_seat_mm": "bead seat",
    "/use/rider_kg": "rider's mass",
    "/use/bike_kg": "bicycle's mass",
    "/use/luggage_kg": "luggage's mass",
    "/use/cassette/spline": "spline of the cassette",
    "/use/cassette/smallest_sprocket": "smallest sprocket",
}


def place_in_words(at: str) -> str:
    """A place as a person calls it.

    >>> place_in_words("/front/spoke/left"), place_in_words("/use/rear_axle")
    ('front spoke left', 'rear axle')
    """
    if at in _NAMES:
        return _NAMES[at]
    names = at[1:].replace("_", " ").split("/")
    return " ".join(names[1:] if names[0] in ("use", "finish") else names)


def value_in_words(value: Value) -> str:
    """A value as a person says it.

    >>> value_in_words({"left": 2, "right": 3}), value_in_words(None)
    ('2 left and 3 right', 'none')
    """
    if isinstance(value, dict):
        return " and ".join(f"{value_in_words(each)} {side}" for side, each in value.items())
    return "none" if value is None else str(value)


def listed_in_words(words: Iterable[str]) -> str:
    """Words in a row.

    >>> listed_in_words(["rim A", "hub B", "6 holes"])
    'rim A, hub B and 6 holes'
    """
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
