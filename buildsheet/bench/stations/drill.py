"""Drilling to order: the program follows from the plan; after it the rim is this wheel's or nobody's."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from buildsheet.bench.codes import found
from buildsheet.bench.stations.station import Label, Stand, Station, StepDocument
from buildsheet.findings import Finding


class Drill(StepDocument):
    """The program that the machine was given, the rim label scanned there, and the first hole looked at."""

    rim_serial: Label
    program: Label
    first_hole_good: bool | None = None


def judge(stand: Stand, step: Drill) -> tuple[Finding, ...]:
    """Whether the right rim is drilled by the right program."""
    return tuple(_judged(stand, step))


def _judged(stand: Stand, step: Drill) -> Iterator[Finding]:
    planned = stand.plan.drilling.program
    if step.program != planned:
        yield found(
            "bench.program",
            "block",
            "/program",
            f"The machine has program {step.program}; this wheel takes {planned or 'none'}. Do not drill.",
            have={"program": step.program},
            need={"program": planned},
        )
    if step.rim_serial != stand.rim_serial:
        yield found(
            "bench.other-rim",
            "block",
            "/rim_serial",
            f"Rim {step.rim_serial} is clamped; {stand.rim_serial or 'no rim'} went through the rim gate "
            "for this wheel. Do not drill.",
            have={"rim_serial": step.rim_serial},
            need={"rim_serial": stand.rim_serial},
        )
    if not step.first_hole_good:
        says = "Look at the first hole: place, lean, edge. Say that it is good, or stop."
        yield found("bench.reading-missing", "block", "/first_hole_good", says)


STATION: Final = Station(
    name="drill",
    says="Drill by the program of the sheet; look at the first hole.",
    document=Drill,
    judge=judge,
    needs=("rim-gate", "kit"),
    move="drill",
)
