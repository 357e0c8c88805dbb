"""Every code a finding of the bench can have, and the one way to make a finding of it.

``block`` is rework, a stop or missing evidence (the code says which); ``approval`` may pass with a
person's remark; ``note`` is a hint.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.codes import HOUSE, PRACTICE, STATICS, CodeEntry, entry, of_entry
from buildsheet.findings import Finding, Severity, Value

EVIDENCE: Final = "missing evidence is never a pass"

_ENTRIES: Final = (
    entry(
        "bench.sheet-void",
        "block",
        "The readings belong to a sheet that is not in force.",
        "Targets may have changed; a void sheet builds the wrong wheel.",
        EVIDENCE,
        "J",
    ),
    entry(
        "bench.reading-missing",
        "block",
        "Something that must be read or said has not been.",
        "Missing numbers mean that the wheel is not finished.",
        EVIDENCE,
    ),
    entry(
        "bench.gauge-table",
        "block",
        "The gauge has no valid calibration table for this spoke type.",
        "A table for another spoke, or an old one, turns readings into wrong forces.",
        EVIDENCE,
        "R-J07",
    ),
    entry(
        "bench.gauge-range",
        "block",
        "A reading lies beyond the calibration table.",
        "A curve says nothing where nobody measured.",
        EVIDENCE,
        "R-J07",
    ),
    entry(
        "bench.caps-missing",
        "block",
        "The dish was read without the ordered end caps.",
        "Other caps move the face that dish is measured from.",
        EVIDENCE,
        "R-E05",
    ),
    entry(
        "bench.above-stop",
        "block",
        "A spoke reads above the stop value.",
        "With the gauge's error it may be above the lowest maker's limit.",
        "lowest maker's limit less the gauge's error",
        "R-D01",
    ),
    entry(
        "bench.spoke-slack",
        "block",
        "A spoke is far below its side's target.",
        "A slack spoke carries nothing, works loose and breaks.",
        HOUSE,
    ),
    entry(
        "bench.side-mean",
        "block",
        "The mean of a side is off its target.",
        "The target is what the wheel's strength was computed with.",
        HOUSE,
    ),
    entry(
        "bench.spoke-band",
        "block approval",
        "A spoke lies outside the band round its side's mean.",
        "Uneven tension goes out of true on the road.",
        HOUSE,
    ),
    entry(
        "bench.neighbours",
        "note",
        "Neighbouring spokes lean the same way.",
        "The rim is bent there, or its joint shows; turning nipples hides it.",
        PRACTICE,
    ),
    entry(
        "bench.ratio",
        "block",
        "The sides stand in another ratio than computed.",
        "Ratio follows from geometry: another one means another wheel than planned.",
        STATICS,
        "R-D03",
    ),
    entry(
        "bench.ratio-hint",
        "note",
        "What would explain the ratio that was measured.",
        "A mistake of lacing is quicker found by what it does to the ratio than by looking.",
        STATICS,
    ),
    entry(
        "bench.lateral",
        "block approval",
        "The rim runs out of true sideways.",
        "Rider, brake and tyre feel it.",
        HOUSE,
    ),
    entry(
        "bench.radial",
        "block approval",
        "The rim runs out of round.",
        "Rider and tyre feel it.",
        HOUSE,
    ),
    entry(
        "bench.dish",
        "block approval",
        "The rim stands off the middle between the locknuts.",
        "The wheel stands askew in the frame.",
        HOUSE,
    ),
    entry(
        "bench.mass",
        "block",
        "The wheel weighs other than computed.",
        "Another spoke, hub or rim than planned, or washers left out.",
        HOUSE,
    ),
    entry(
        "bench.thread-end",
        "block",
        "A spoke ends outside its nipple's window.",
        "Below the slot the head may shear off; above it the thread bottoms or cuts the tape.",
        PRACTICE,
        "R-C10",
    ),
    entry(
        "bench.free-play",
        "block",
        "The hub has play or drags.",
        "A bearing that is loose or tight wears out and hides what the rim does.",
        PRACTICE,
    ),
    entry(
        "bench.twist",
        "block",
        "Spokes are wound up.",
        "They unwind on the first ride and take trueness with them.",
        PRACTICE,
    ),
    entry(
        "bench.relief",
        "block",
        "Stress relief was not done as often as the sheet asks.",
        "Unrelieved elbows settle on the road and break early.",
        "J. Brandt's explanation: second-hand",
    ),
    entry(
        "bench.second-person",
        "caution",
        "The wheel was trued again and again.",
        "A second pair of eyes finds what the first no longer sees.",
        HOUSE,
    ),
    entry(
        "bench.pitch-gauge",
        "caution",
        "Pitch and gauge disagree.",
        "The gauge may have been knocked.",
        HOUSE,
    ),
)

CODES: Final[Mapping[str, CodeEntry]] = MappingProxyType({each.code: each for each in _ENTRIES})
"""By code."""


def found(
    code: str,
    severity: Severity,
    at: str,
    says: str,
    *,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
) -> Finding:
    """A finding about readings; ``at`` is a JSON Pointer into the pass."""
    return of_entry(
        CODES[code],
        severity,
        at,
        says,
        edition=None,
        have=have or {},
        need=need or {},
        also=(),
    )
