"""Wheels as they stand now, with the sheet that is in force."""

from __future__ import annotations

import json
from dataclasses import dataclass

from buildsheet.actions.answers import API
from buildsheet.actions.serials import as_typed
from buildsheet.actions.sheet_requests import concerns
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.storage import moves, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.moves import StoredMove
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredPlan, StoredSheet, StoredWheel

PAGE = 100


@dataclass(frozen=True, slots=True)
class WheelView:
    """One wheel: as stored, its order, its plan as kept, every sheet that was issued for it, and who
    last put a name and a reason to its order."""

    stored: StoredWheel
    order: StoredOrder
    kept: StoredPlan
    sheets: tuple[StoredSheet, ...]
    approval: StoredMove | None = None

    @property
    def cautions(self) -> tuple[dict[str, Value], ...]:
        """What was said of this wheel or of the whole order and has to be minded at the stand."""
        said: list[dict[str, Value]] = json.loads(self.order.answer)["findings"]
        return tuple(
            finding
            for finding in said
            if finding["severity"] in {"approval", "caution"}
            and concerns(str(finding["at"]), self.stored.position)
        )

    def as_json(self) -> dict[str, Value]:
        """The wheel in one document; its plan is behind the link."""
        sheet = self.stored.sheet
        return {
            "serial": self.stored.serial,
            "position": self.stored.position,
            "state": self.stored.state,
            "order": self.stored.order_id,
            "order_state": self.order.state,
            "source": self.stored.source,
            "number": self.stored.number,
            "revision": sheet.revision,
            "edition": sheet.edition,
            "issue": sheet.issue,
            "fingerprint": sheet.fingerprint,
            "allotted_at": self.stored.allotted_at,
            "plan": f"{API}/wheels/{self.stored.serial}/plan",
            "sheet": f"{API}/wheels/{self.stored.serial}/sheet.pdf",
            "picture": f"{API}/wheels/{self.stored.serial}/sheet.svg",
        }


def show_wheel(workshop: Workshop, serial: str) -> WheelView | None:
    """The wheel with this serial, or None."""
    with workshop.database.reading() as section:
        stored = wheels.by_serial(section, as_typed(serial))
        return _view(section, stored) if stored else None


def known_wheel(workshop: Workshop, serial: str) -> WheelView:
    """The wheel with this serial, which is known to be there; LookupError where it is not."""
    view = show_wheel(workshop, serial)
    if view is None:
        raise LookupError(serial)
    return view


def show_sheet(workshop: Workshop, code: str) -> tuple[StoredSheet, WheelView] | None:
    """The sheet that carries this bench code (in force or void) and its wheel as it stands now."""
    with workshop.database.reading() as section:
        sheet = wheels.sheet_by_code(section, code)
        stored = wheels.by_serial(section, sheet.serial) if sheet else None
        return (sheet, _view(section, stored)) if sheet and stored else None


def list_wheels(workshop: Workshop, before: str | None = None) -> tuple[StoredWheel, ...]:
    """The newest wheels first; ``before`` a serial for the page after it."""
    with workshop.database.reading() as section:
        return wheels.latest(section, PAGE, before)


def wheels_in_the_house(workshop: Workshop, before: str | None = None) -> tuple[StoredWheel, ...]:
    """The same of the wheels that have not left the house: what is there to do."""
    with workshop.database.reading() as section:
        return wheels.in_the_house(section, PAGE, before)


def _view(section: Section, stored: StoredWheel) -> WheelView:
    order = orders.by_id(section, stored.order_id)
    kept = wheels.plan(section, stored.sheet.plan_digest)
    if order is None or kept is None:
        raise LookupError(f"the order or the plan of {stored.serial} is not there")
    return WheelView(
        stored,
        order,
        kept,
        wheels.sheets_of(section, stored.serial),
        moves.newest_approval(section, order.id),
    )
