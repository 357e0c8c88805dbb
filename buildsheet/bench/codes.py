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
    entry(
        "bench.rim-mass",
        "block",
        "The rim weighs other than its article.",
        "Another lay-up or another rim is in the hand.",
        "catalog of the edition",
        "R-I04",
    ),
    entry(
        "bench.rim-run-out",
        "block",
        "The bare rim runs out too far.",
        "Spokes that hold a rim straight are uneven for life.",
        HOUSE,
    ),
    entry(
        "bench.track",
        "block",
        "The brake track is too wide, or changes its width round the rim.",
        "The brake rubs or grabs.",
        HOUSE,
        "R-E07",
    ),
    entry(
        "bench.erd-off",
        "block",
        "The rim measures another diameter than the sheet was computed with.",
        "A millimetre of diameter is half a millimetre of spoke.",
        "geometry",
        "R-J03",
    ),
    entry(
        "bench.kit",
        "block",
        "The box holds other parts or counts than the pick list.",
        "What is wrong in the box is wrong in the wheel.",
        "pick list of the sheet",
    ),
    entry(
        "bench.batches",
        "caution",
        "A part comes from several batches.",
        "Finish and lay-up may differ, and a recall finds them harder.",
        PRACTICE,
        "R-B13",
    ),
    entry(
        "bench.bags",
        "block",
        "Left and right spokes are not bagged apart.",
        "Near-equal lengths are mixed up in one bag.",
        PRACTICE,
    ),
    entry(
        "bench.program",
        "block",
        "The drill has another program than the wheel.",
        "A rim drilled by the wrong program is scrap.",
        "drilling of the plan",
    ),
    entry(
        "bench.other-rim",
        "block",
        "Another rim is in the hand than the one recorded for this wheel.",
        "Measurements belong to one rim.",
        EVIDENCE,
    ),
    entry(
        "bench.first-spoke",
        "block",
        "The first spoke out of a bag has another length than the sheet says.",
        "One wrong bag is a whole side of wrong spokes.",
        HOUSE,
    ),
    entry(
        "bench.half-way",
        "block",
        "Half way, the wheel is not as in the picture.",
        "A mirrored or turned wheel is laced again from the start when it is found later.",
        PRACTICE,
    ),
    entry(
        "bench.not-settled",
        "caution",
        "A round of stress relief still changed the wheel.",
        "What moves at the stand moves on the road.",
        HOUSE,
    ),
    entry(
        "bench.wave",
        "block",
        "Stress relief threw the rim out of true.",
        "Too much tension for the rim is an instability, not an untruth.",
        "Ford and Balogun 2017: second-hand",
    ),
    entry(
        "bench.decal",
        "block",
        "Another decal set is in the hand than was ordered for this side.",
        "Sets are handed; a mirrored one comes back from the customer.",
        "finish of the order",
        "R-H04",
    ),
    entry(
        "bench.pair-mass",
        "caution",
        "The two rims of a set differ in mass.",
        "Rims of one batch ride alike.",
        HOUSE,
        "R-I04",
    ),
    entry(
        "bench.pair",
        "block",
        "A wheel of another order lies beside this one.",
        "Front of one order with the rear of another is found at the customer's.",
        "serials of the order",
        "R-I01",
    ),
    entry(
        "bench.box",
        "block",
        "The box is not as its packing list.",
        "A missing spare is missed at the roadside.",
        "packing list of the order",
        "R-I06",
    ),
    entry(
        "bench.gauge-marks",
        "block",
        "A calibration table makes no curve, or its name is taken.",
        "A table that is not monotone, or not its own, converts readings wrongly.",
        EVIDENCE,
    ),
    entry(
        "bench.gauge-day",
        "block caution",
        "The gauge failed its check of the day, or has none.",
        "A gauge that was dropped since yesterday reads wrong all day.",
        PRACTICE,
    ),
    entry(
        "bench.step-order",
        "block",
        "A step comes before the ones it needs, or in a state of the wheel that has no such step.",
        "What was skipped is found at the customer's.",
        "order of the stations",
    ),
    entry(
        "bench.order-waits",
        "block",
        "The order waits for a named release, or is cancelled.",
        "Nothing is built that nobody released.",
        "states of the order",
    ),
    entry(
        "bench.sign",
        "block",
        "The pass cannot be signed this way.",
        "A signature stands for numbers that pass, or for a reason why a remark is enough.",
        EVIDENCE,
    ),
    entry(
        "bench.key-reused",
        "block",
        "Another document was kept under this key.",
        "The first answer again would be a verdict on readings that nobody looked at.",
        EVIDENCE,
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
