"""Wheels by whatever somebody has in the hand: a serial, an order, a batch, a gauge, a name, an edition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.actions.serials import as_typed
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.storage import bench, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.wheels import StoredWheel

WAYS: Final = (
    "serial",
    "order",
    "rim-batch",
    "rim-serial",
    "hub-serial",
    "part-batch",
    "gauge",
    "builder",
    "edition",
)
"""What wheels are found by."""


@dataclass(frozen=True, slots=True)
class Found:
    """One wheel of a list: where it is, and for whom it was built."""

    serial: str
    position: str
    state: str
    order_id: str
    source: str
    number: str
    edition: int
    issue: str
    title: str

    def as_json(self) -> dict[str, Value]:
        """One line of a list."""
        return {
            "serial": self.serial,
            "position": self.position,
            "state": self.state,
            "order": self.order_id,
            "source": self.source,
            "number": self.number,
            "edition": self.edition,
            "issue": self.issue,
            "title": self.title,
        }


def find_wheels(workshop: Workshop, by: str, what: str) -> tuple[Found, ...]:
    """Every wheel that has ``what`` in it; ``by`` is one of `WAYS`. Raises KeyError for another way."""
    if by not in WAYS:
        raise KeyError(by)
    with workshop.database.reading() as section:
        found = (wheels.by_serial(section, each) for each in _serials(section, by, what.strip()))
        return tuple(_line(each) for each in found if each is not None)


def _serials(section: Section, by: str, what: str) -> tuple[str, ...]:
    if by == "serial":
        return (as_typed(what),)
    if by == "order":
        known = orders.numbered(section, what)
        one = orders.by_id(section, as_typed(what))
        ids = [*dict.fromkeys([*(each.id for each in known), *([one.id] if one else [])])]
        return tuple(each.serial for order in ids for each in wheels.of_order(section, order))
    if by == "gauge":
        return bench.wheels_read_with(section, what)
    if by == "builder":
        return bench.wheels_of_person(section, what)
    if by == "edition":
        return wheels.under_edition(section, int(what)) if what.isascii() and what.isdigit() else ()
    return bench.wheels_with(section, by, what)


def _line(wheel: StoredWheel) -> Found:
    return Found(
        wheel.serial,
        wheel.position,
        wheel.state,
        wheel.order_id,
        wheel.source,
        wheel.number,
        wheel.sheet.edition,
        wheel.sheet.issue,
        wheel.title,
    )
