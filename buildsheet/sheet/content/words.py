"""The words that every sheet carries, always in the same place."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final[tuple[str, ...]] = (
    "Glasses on from the first spoke to the last reading; face out of the wheel's plane.",
    "Never above STOP. An overloaded spoke bed goes to quarantine: slackening does not heal it.",
    "Carbon: no sanding or drilling at the bench. Broken rim: gloves, away from turning machines.",
    "The lowest maker's limit of rim, hub and spoke counts. Local law goes before this sheet.",
    "A missing number is not a pass. A wheel that fails can injure or kill.",
)

STEPS_CROSSED: Final[tuple[str, ...]] = (
    "Even start: every nipple just covers the thread.",
    "Seat elbows and heads by hand.",
    "Rounds of 1/2, then 1/4, then 1/8 turn. After each: true, round, dish. Hold spokes against twist.",
    "Relieve: press parallel pairs hard, all round, both sides.",
    "Repeat 3 and 4 until relief changes neither run-out nor mean tension (under 3 %).",
)

STEPS_STRAIGHT: Final[tuple[str, ...]] = (
    STEPS_CROSSED[0],
    "Seat every head square in its socket.",
    *STEPS_CROSSED[2:],
)

STEPS_RADIAL: Final[tuple[str, ...]] = (
    *STEPS_CROSSED[:3],
    "Relieve: press neighbouring spokes of a side together, all round, both sides.",
    STEPS_CROSSED[4],
)

CUSTOMER: Final = (
    "For the rider: tension and trueness checked after the first 100 to 200 km, then yearly;"
    " stop riding on noise, wobble or cracks; keep to pressure, mass, pads and tyres as listed."
)

BOXES: Final[tuple[str, ...]] = (
    "parts scanned",
    "rim measured",
    "half-way gate",
    "side bags empty, spares back",
    "relief 3 times",
    "all spokes read",
    "lateral and radial",
    "dish from both sides",
    "no thread showing, ends in window",
    "no twist",
    "hub free, no play",
    "weighed",
    "decals L and R, photo",
    "label and serial",
    "second person (new combination)",
)
