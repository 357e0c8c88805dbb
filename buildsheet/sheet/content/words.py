"""The words that every sheet carries, always in the same place."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final[tuple[str, ...]] = (
    "Glasses on until the last reading.",
    "Face out of the wheel's plane.",
    "Never above STOP, not for a moment.",
    "Overloaded rim bed: to quarantine.",
    "Carbon: no sanding or drilling here.",
    "Broken rim: gloves; not near machines.",
    "Lowest maker's limit counts; law first.",
    "A number missing: not finished, can kill.",
)

STEPS_CROSSED: Final[tuple[str, ...]] = (
    "Even start: threads just covered.",
    "Seat elbows and heads by hand.",
    "Rounds of 1/2, 1/4, 1/8 turn; after each: true, round, dish. Leave no twist.",
    "Relieve: press pairs, both sides.",
    "Repeat c, d until nothing moves (3 %).",
)
"""The last: until a relief round changes neither run-out nor mean tension, the mean by under 3 %."""

STEPS_STRAIGHT: Final[tuple[str, ...]] = (
    STEPS_CROSSED[0],
    "Seat every head in its socket.",
    *STEPS_CROSSED[2:],
)

STEPS_RADIAL: Final[tuple[str, ...]] = (
    *STEPS_CROSSED[:3],
    "Relieve: press neighbours, both sides.",
    STEPS_CROSSED[4],
)

GATE: Final = "HALF-WAY GATE, from the RIGHT"

NOTE_TITLE: Final = "note from the order: does not change the build"

VERDICT_MEANS: Final = "stands until every figure is in and somebody has judged them"

VERDICTS: Final[tuple[str, ...]] = ("STOP", "rework", "pass", "pass, remark")

CUSTOMER: Final = (
    "To the rider: have tension and trueness checked after the first 100 to 200 km, then yearly;"
    " stop riding on noise, wobble or cracks; keep to pressure, mass, pads and tyres as listed."
)

BOXES: Final[tuple[str, ...]] = (
    "parts scanned",
    "rim measured",
    "half-way gate",
    "bags empty, spares back",
    "relief 3 times",
    "all spokes read",
    "lateral, radial",
    "dish, both sides",
    "no thread, ends in window",
    "no twist left",
    "hub free, no play",
    "weighed",
    "decals L, R, photo",
    "label, serial",
    "second person, if new",
)
"""The last: a second person looks at the first wheel of a new combination."""
