"""A store with something in it: edition 16, an order of two wheels and one of a single wheel."""

from __future__ import annotations

from typing import Final

from buildsheet.storage import editions, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.editions import StoredEdition
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import NewWheel, StoredPlan, StoredSheet

NOON: Final = "2031-05-01T12:00:00.000Z"
LATER: Final = "2031-05-01T12:30:00.000Z"
EVENING: Final = "2031-05-01T18:00:00.000Z"

EDITION: Final = StoredEdition(16, "sha256:16", NOON, NOON)
SET: Final = StoredOrder(
    "A31-00001-S", "shop-a", "D-1", 1, "accepted", 16, "sha256:d", '{"a":1}', "{}", NOON, True
)
FRONT, REAR, ALONE = "W31-00001-S", "W31-00002-T", "W31-00003-U"
SINGLE: Final = StoredOrder(
    "A31-00002-T", "shop-b", "D-1", 1, "accepted", 16, "sha256:e", '{"b":1}', "{}", LATER, True
)
PLAN: Final = StoredPlan("sha256:p", "a wheel", '{"mass_g":640.5}', "{}")
OTHER_PLAN: Final = StoredPlan("sha256:q", "another", '{"mass_g":700}', "{}")


def sheet(serial: str, issue: str = "A", plan: StoredPlan = PLAN, at: str = NOON) -> StoredSheet:
    """A sheet of a wheel, its code made of both."""
    return StoredSheet(f"{serial}-{issue}", serial, issue, 1, 16, "print", plan.digest, at)


def furnish(section: Section) -> None:
    """Put all of it in."""
    editions.insert(section, EDITION, {"a": "1", "b": "2"})
    orders.insert(section, [SET, SINGLE])
    wheels.insert_new(
        section,
        "planned",
        [
            NewWheel(SET.id, "front", PLAN, sheet(FRONT)),
            NewWheel(SET.id, "rear", OTHER_PLAN, sheet(REAR, plan=OTHER_PLAN)),
            NewWheel(SINGLE.id, "front", PLAN, sheet(ALONE, at=LATER)),
        ],
    )
