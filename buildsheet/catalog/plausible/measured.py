"""Sense between a figure, the measurements behind it, and the reports behind the limits."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.catalog.parts import Evidence, Hub, Part, Rim
from buildsheet.catalog.plausible.doubt import Doubt
from buildsheet.findings import Value

SEAT_AGREES_MM = 0.5
"""How far measured seat diameters may lie from each other and from the figure used [own choice]: half
of it reaches the spoke length, and a nipple's window is 1 mm wide."""

FLANGE_AGREES_MM = 0.5
"""The same for a flange's distance from the middle [own choice]: on the near flange of a rear hub it
moves the balance of tensions by some 3 percent."""


def measurement_doubts(part: Part) -> Iterator[Doubt]:
    """Measurements that disagree with each other, or with the figure that lengths follow from."""
    if isinstance(part, Rim):
        keys = ("seat_measured_mm",)
        yield from _disagreeing(
            part.seat_measured_mm, part.seat_diameter_mm, keys, "seat_diameter_mm", SEAT_AGREES_MM
        )
    elif isinstance(part, Hub):
        for key in ("left_flange", "right_flange", "left_seats", "right_seats"):
            side = getattr(part, key)
            if side is not None:
                yield from _disagreeing(
                    side.from_centre_measured_mm,
                    side.from_centre_mm,
                    (key, "from_centre_measured_mm"),
                    "from_centre_mm",
                    FLANGE_AGREES_MM,
                )


def _disagreeing(
    measured_mm: tuple[float, ...] | None,
    used_mm: float,
    keys: tuple[str, ...],
    used_key: str,
    within_mm: float,
) -> Iterator[Doubt]:
    if measured_mm is None:
        return
    low_mm, high_mm = min(measured_mm), max(measured_mm)
    found: list[Value] = list(measured_mm)
    if _apart(low_mm, high_mm, within_mm):
        yield Doubt(
            "data.contradiction",
            keys,
            f"measured {low_mm:g} and {high_mm:g}, {high_mm - low_mm:.2f} apart; two measurements of one "
            f"part agree within {within_mm:g}. Measure again.",
            have={"measured_mm": found},
            need={"within_mm": within_mm},
        )
    elif max(abs(each - used_mm) for each in measured_mm) > within_mm + _ROUNDING_MM:
        mean_mm = round(sum(measured_mm) / len(measured_mm), 2)
        yield Doubt(
            "data.implausible",
            (*keys[:-1], used_key),
            f"found {used_mm:g}, but measured was {' and '.join(f'{each:g}' for each in measured_mm)}; "
            f"a figure and its measurements agree within {within_mm:g}.",
            have={used_key: used_mm, "measured_mm": found},
            need={"about_mm": mean_mm, "within_mm": within_mm},
            values=(mean_mm,),
            also=(keys[0],),
        )


_ROUNDING_MM = 1e-9
"""573.7 less 573.2 is a little more than a half in binary."""


def _apart(low_mm: float, high_mm: float, within_mm: float) -> bool:
    return high_mm - low_mm > within_mm + _ROUNDING_MM


def evidence_doubts(part: Part) -> Iterator[Doubt]:
    """Evidence for nothing: none at all, or for a limit that the part does not state."""
    evidence = getattr(part, "evidence", None)
    if not isinstance(evidence, Evidence):
        return
    named = [key for key in type(evidence).model_fields if getattr(evidence, key) is not None]
    if not named:
        yield Doubt("data.wrong-count", ("evidence",), "names no report; leave it out.")
    for key in named:
        if getattr(part, key) in (None, False):
            says = f"the report is for {key}, which the part does not state."
            yield Doubt("data.contradiction", ("evidence", key), says, also=(key,))
