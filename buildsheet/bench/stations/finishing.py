"""Finishing: the decals that were ordered, on the side they are made for, where the template says."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from pydantic import Field

from buildsheet.bench.codes import found
from buildsheet.bench.stations.station import Label, Stand, Station, StepDocument
from buildsheet.findings import Finding


class Finishing(StepDocument):
    """Decal sets as scanned from their wrappers; photographs by reference, one of each side."""

    left_decal: Label | None = None
    right_decal: Label | None = None
    at_template: bool | None = None
    limits_readable: bool | None = None
    photos: Annotated[tuple[Label, ...], Field(max_length=12)] = ()


def judge(stand: Stand, step: Finishing) -> tuple[Finding, ...]:
    """Whether the wheel looks as ordered, and its limits can be read."""
    return tuple(_judged(stand, step))


def _judged(stand: Stand, step: Finishing) -> Iterator[Finding]:
    if len(stand.decals) == 2:
        for side, planned, scanned in (
            ("left", stand.decals[0], step.left_decal),
            ("right", stand.decals[1], step.right_decal),
        ):
            if scanned != planned:
                mirrored = scanned in stand.decals
                hint = " It is the other side's hand." if mirrored else ""
                yield found(
                    "bench.decal",
                    "block",
                    f"/{side}_decal",
                    f"The {side} side takes {planned}, {scanned or 'nothing'} was scanned.{hint}",
                    have={"decal": scanned},
                    need={"decal": planned},
                )
    for member, answer, what in (
        (
            "at_template",
            step.at_template,
            "that the decals sit at the template, counted from the valve",
        ),
        (
            "limits_readable",
            step.limits_readable,
            "that serial, pressure and limit markings can be read",
        ),
    ):
        if not answer:
            yield found("bench.reading-missing", "block", f"/{member}", f"Say {what}.")
    if len(step.photos) < 2:
        says = "One photograph of each side is kept with the wheel: name both."
        yield found("bench.reading-missing", "block", "/photos", says)


STATION: Final = Station(
    name="finishing",
    says="Decals left and right, by the template; photograph both sides.",
    document=Finishing,
    judge=judge,
    move="finish",
)
