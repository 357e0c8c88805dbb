"""What was picked so far, as the query of an address: place -> value as JSON; and the order it makes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, Final

from buildsheet.findings import Value

MASSES: Final = ("/use/rider_kg", "/use/bike_kg", "/use/luggage_kg")
"""Places without a list: they are typed."""

PLACES: Final[Mapping[str, str]] = {
    "/kind": "What is built",
    "/use/brake": "Brake",
    "/use/class": "Use class",
    **{
        f"/{position}/{member}": f"{position.capitalize()} wheel: {words}"
        for position in ("front", "rear")
        for member, words in (
            ("rim", "rim"),
            ("hub", "hub"),
            ("holes", "hole count"),
            ("crossings", "crossings"),
            ("crossings/left", "crossings, left"),
            ("crossings/right", "crossings, right"),
            ("spoke/left", "spokes, left"),
            ("spoke/right", "spokes, right"),
            ("nipple", "nipples"),
            ("nipple_colour", "nipple colour"),
            ("washer", "washers"),
            ("driver", "driver body"),
        )
    },
    "/use/rotor_mount": "Rotor mount",
    "/use/front_axle": "Front axle",
    "/use/rear_axle": "Rear axle",
    "/use/cassette/spline": "Cassette spline",
    "/use/cassette/smallest_sprocket": "Smallest sprocket",
    "/use/tyre_system": "Tyre system",
    "/use/tyre_width_mm": "Tyre width, mm",
    "/finish/decal_colour": "Decal colour",
    "/finish/rear_decal_colour": "Decal colour of the rear wheel",
    "/finish/decal_size": "Decal size",
    "/market": "Country",
    "/use/rider_kg": "Rider, kg",
    "/use/bike_kg": "Bicycle, kg",
    "/use/luggage_kg": "Luggage, kg",
}
"""Every place that can be picked, in the order in which it is asked for."""

LONGEST_VALUE: Final = 60

Picks = Mapping[str, Value]


def picks_of(query: Iterable[tuple[str, str]]) -> dict[str, Value]:
    """The picks in a query; what is no place or no value is passed over.

    >>> picks_of([("/front/rim", '"OR33D"'), ("/use/rider_kg", "92,5"), ("x", "1"), ("/kind", "[")])
    {'/front/rim': 'OR33D', '/use/rider_kg': 92.5}
    """
    picks: dict[str, Value] = {}
    for at, text in query:
        if at in PLACES and 0 < len(text.strip()) <= LONGEST_VALUE:
            try:
                picks[at] = _value(at, text.strip())
            except (ValueError, RecursionError):
                continue
    return {at: picks[at] for at in PLACES if at in picks}


def _value(at: str, text: str) -> Value:
    if at in MASSES:
        return float(text.replace(",", "."))
    value: Value = json.loads(text)
    return value


def as_query(picks: Picks, *, without: str = "") -> dict[str, str]:
    """The picks as a query again, one of them left out."""
    return {at: as_pick(value) for at, value in picks.items() if at != without}


def as_pick(value: Value) -> str:
    """A value as the query has it."""
    return json.dumps(value, sort_keys=True)


def document_of(picks: Picks) -> dict[str, Any]:
    """The part of an order that the picks make."""
    document: dict[str, Any] = {}
    for at, value in picks.items():
        table = document
        *above, last = at[1:].split("/")
        for name in above:
            inner = table.get(name)
            if not isinstance(inner, dict):
                inner = table[name] = {}
            table = inner
        table[last] = value
    return document
