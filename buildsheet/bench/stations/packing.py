"""Pair check, box and hand-over: the last places where a mistake stays in the house."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Final

from pydantic import Field

from buildsheet.bench.codes import found
from buildsheet.bench.stations.station import Label, Stand, Station, StepDocument
from buildsheet.findings import Finding


class Pair(StepDocument):
    """Both wheels of a set, scanned side by side. ``other_rim_mass_g`` and the own one as weighed."""

    serial: Label
    other_serial: Label | None = None
    same_finish: bool | None = None
    rim_mass_g: Annotated[float, Field(gt=0.0, le=3000.0)] | None = None
    other_rim_mass_g: Annotated[float, Field(gt=0.0, le=3000.0)] | None = None


def judge_pair(stand: Stand, step: Pair) -> tuple[Finding, ...]:
    """Whether the two belong together. Which serials do is asked where the order is known."""
    return tuple(_pair(stand, step))


def _pair(stand: Stand, step: Pair) -> Iterator[Finding]:
    if step.other_serial is None:
        return
    if not step.same_finish:
        says = "Lay both wheels side by side and say that colour and sheen agree."
        yield found("bench.reading-missing", "block", "/same_finish", says)
    if step.rim_mass_g is None or step.other_rim_mass_g is None:
        return
    apart_g = abs(step.rim_mass_g - step.other_rim_mass_g)
    most_g = stand.house.pair.rim_mass_difference_g
    if apart_g > most_g:
        yield found(
            "bench.pair-mass",
            "caution",
            "/other_rim_mass_g",
            f"The rims differ by {apart_g:.0f} g; within {most_g:g} g is wanted in one kind of rim.",
            have={"apart_g": apart_g},
            need={"apart_g": {"at_most": most_g}},
        )


class Box(StepDocument):
    """What lies in the box, line by line of the packing list."""

    packed: Annotated[tuple[Label, ...], Field(max_length=100)]


class Ship(StepDocument):
    """Handed to the carrier."""

    carrier: Label
    reference: Label


def judge_ship(stand: Stand, step: Ship) -> tuple[Finding, ...]:  # noqa: ARG001 - as every station
    """Nothing is left to judge here."""
    return ()


def judge_box(
    wanted: tuple[str, ...], step: Box, before: Mapping[str, str] | None = None
) -> tuple[Finding, ...]:
    """What of the packing list is not in the box yet, and what is too much. ``before``: what was put in
    with the other wheel of the set, with that wheel's serial; it need not be ticked again."""
    before = before or {}
    missing = [each for each in wanted if each not in step.packed and each not in before]
    extra = [each for each in step.packed if each not in wanted]
    said = [
        found(
            "bench.box",
            "block",
            "/packed",
            f"{each} is not in the box. A box with something missing is not closed.",
            have={"missing": each},
        )
        for each in missing
    ]
    said += [
        found(
            "bench.box",
            "block",
            "/packed",
            f"{each} is not on this order's packing list. Take it out.",
            have={"extra": each},
        )
        for each in extra
    ]
    said += [
        found(
            "bench.box",
            "caution",
            "/packed",
            f"{each} was put in with {serial} and is on this order's packing list no more. Take it out.",
            have={"extra": each},
        )
        for each, serial in before.items()
        if each not in wanted and each not in extra
    ]
    return tuple(said)


PAIR: Final = Station(
    name="pair",
    says="Scan both wheels of the set side by side.",
    document=Pair,
    judge=judge_pair,
    needs=("finishing",),
)
SHIP: Final = Station(
    name="ship",
    says="Hand it to the carrier.",
    document=Ship,
    judge=judge_ship,
    needs=("box",),
    move="ship",
)
