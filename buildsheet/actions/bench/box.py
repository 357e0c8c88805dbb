"""The box of an order: its packing list, and what lies in it already with the other wheel of the set.

A set goes into one box. What was ticked with the first wheel was seen by a person who stands for it; with
the second wheel only what is a part of that wheel is looked at again.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

from buildsheet.actions.bench.view import BenchView, counting
from buildsheet.actions.plan_record import read_back
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.packing import Packed, packing_list
from buildsheet.findings import Value
from buildsheet.storage import bench, moves, wheels
from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class InTheBox:
    """A line that was ticked with the other wheel: with which, by whom, and when."""

    label: str
    serial: str
    by: str
    at: str

    def as_json(self) -> dict[str, Value]:
        """As a step's answer says it."""
        return {"label": self.label, "with": self.serial, "by": self.by, "at": self.at}


@dataclass(frozen=True, slots=True)
class BoxList:
    """The packing list of an order, as it is ticked with one of its wheels."""

    lines: tuple[Packed, ...]
    before: tuple[InTheBox, ...]

    @property
    def labels(self) -> tuple[str, ...]:
        """Every line of the list."""
        return tuple(each.label for each in self.lines)

    @property
    def to_tick(self) -> tuple[Packed, ...]:
        """The lines that nobody has ticked yet, and those that are a part of this wheel."""
        there = {each.label for each in self.before}
        return tuple(each for each in self.lines if each.label not in there)


def box_list(section: Section, view: BenchView) -> BoxList:
    """The list of the wheel's order, and what of it was ticked with the other wheel of the set."""
    plans, before = {}, {}
    for wheel in wheels.of_order(section, view.wheel.stored.order_id):
        kept = wheels.plan(section, wheel.sheet.plan_digest)
        if kept is not None:
            plans[wheel.position] = read_back(kept)
        if wheel.serial != view.wheel.stored.serial:
            before.update({each.label: each for each in _ticked(section, wheel.serial)})
    lines = packing_list(plans, view.edition, view.document)
    own = {each.label for each in lines if view.wheel.stored.position in each.positions}
    return BoxList(lines, tuple(each for each in before.values() if each.label not in own))


def box_of(workshop: Workshop, view: BenchView) -> BoxList:
    """The same for whoever ticks it off."""
    with workshop.database.reading() as section:
        return box_list(section, view)


def _ticked(section: Section, serial: str) -> tuple[InTheBox, ...]:
    """What was ticked when this wheel was put into the box, where that still counts."""
    steps = counting(bench.steps_of(section, serial), moves.restarts_of(section, serial))
    for each in reversed(steps):
        if each.station == "box" and each.good:
            packed: list[str] = json.loads(each.document)["packed"]
            return tuple(InTheBox(label, serial, each.done_by, each.done_at) for label in packed)
    return ()
