"""Wheels by whatever somebody has in the hand: a serial, an order, a batch, a gauge, a name, an edition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.actions.serials import as_typed
from buildsheet.actions.stopped import stopped_at
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.storage import orders, recall, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.recall import Part
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

PAGE: Final = 100
MOST_DIGITS: Final = 9
"""Of an edition's number: a longer one is none that the file could hold."""


@dataclass(frozen=True, slots=True)
class Found:
    """One wheel of a list: where it is, for whom it was built, and which reading stopped it (None: none
    did)."""

    serial: str
    position: str
    state: str
    order_id: str
    source: str
    number: str
    edition: int
    issue: str
    title: str
    stopped_at_pass: int | None

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
            "stopped_at_pass": self.stopped_at_pass,
        }


def find_wheels(
    workshop: Workshop, by: str, what: str, *, before: str | None = None, most: int | None = None
) -> tuple[Found, ...]:
    """The wheels that have ``what`` in them, the newest first: every one, as a recall needs it, or
    the ``most`` newest of those before the serial ``before``.

    ``by`` is one of `WAYS`; raises KeyError for another way.
    """
    if by not in WAYS:
        raise KeyError(by)
    part = Part(before=before) if most is None else Part(most, before)
    with workshop.database.reading() as section:
        serials = _serials(section, by, what.strip(), part)
        found = wheels.with_serials(section, serials)
        stopped = stopped_at(section, serials)
        return tuple(_line(each, stopped.get(each.serial)) for each in found)


def find_page(
    workshop: Workshop, by: str, what: str, before: str | None = None
) -> tuple[tuple[Found, ...], str | None]:
    """A page of the same for people, and the serial that the next page begins before (None: no more)."""
    found = find_wheels(
        workshop, by, what, before=as_typed(before) if before else None, most=PAGE + 1
    )
    return found[:PAGE], found[PAGE - 1].serial if len(found) > PAGE else None


def _serials(section: Section, by: str, what: str, part: Part) -> tuple[str, ...]:
    if by == "serial":
        return (as_typed(what),)
    if by == "order":
        known = orders.numbered(section, what)
        one = orders.by_id(section, as_typed(what))
        ids = [*dict.fromkeys([*(each.id for each in known), *([one.id] if one else [])])]
        serials = {each.serial for order in ids for each in wheels.of_order(section, order)}
        return _part_of(serials, part)
    if by == "gauge":
        return recall.read_with(section, what, part)
    if by == "builder":
        return recall.of_person(section, what, part)
    if by == "edition":
        is_one = what.isascii() and what.isdigit() and len(what) <= MOST_DIGITS
        return recall.under_edition(section, int(what), part) if is_one else ()
    return recall.with_batch(section, by, what, part)


def _part_of(serials: set[str], part: Part) -> tuple[str, ...]:
    """The same part of a short list as of a long one."""
    before = (each for each in serials if part.before is None or each < part.before)
    return tuple(sorted(before, reverse=True)[: part.most])


def _line(wheel: StoredWheel, stopped_at_pass: int | None) -> Found:
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
        stopped_at_pass,
    )
