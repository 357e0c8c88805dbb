"""The sheet of a wheel that was taken: PDF, picture of a page, picture of the lacing.

Drawing is what costs a worker time, so a finished PDF is kept in memory under the digest of all that
stands on it: what has not changed is not drawn again.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from hashlib import sha256
from typing import Final, Literal

from buildsheet import __version__, sheet
from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.finding_record import findings_of
from buildsheet.actions.intake.asked import ON_HOLD
from buildsheet.actions.plan_again import plan_of
from buildsheet.actions.plan_record import compact
from buildsheet.actions.sheet_requests import Numbers, sheet_request
from buildsheet.actions.show_wheel import WheelView
from buildsheet.actions.workshop import Workshop
from buildsheet.orders.document import Order
from buildsheet.sheet import Paper, Released, SheetRequest

PAPERS: Final[dict[str, Paper]] = {"a4": "A4", "letter": "Letter"}
PAGES: Final[dict[str, Literal[1, 2]]] = {"1": 1, "2": 2}
KEPT_SHEETS: Final = 256


NOT_PRINTED: Final = frozenset({ON_HOLD, "cancelled"})
"""States of an order in which nobody builds its wheels from a sheet."""


class Waits(Exception):
    """The order waits for an approval by name, or it is cancelled: there is no sheet."""


class _Shelf:
    """Finished documents by digest, the least used thrown out first."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[str, bytes] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, digest: str) -> bytes | None:
        with self._lock:
            if digest in self._kept:
                self._kept.move_to_end(digest)
            return self._kept.get(digest)

    def put(self, digest: str, document: bytes) -> None:
        with self._lock:
            self._kept[digest] = document
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)


_shelf = _Shelf(KEPT_SHEETS)


def sheet_digest(view: WheelView, paper: str) -> str:
    """A digest of all that stands on the sheet in force, and of the program that draws it."""
    said = [
        __version__,
        paper,
        view.stored.sheet.code,
        view.stored.serial,
        view.stored.sheet.issue,
        view.kept.digest,
        view.order.body_digest,
        view.order.answer,
        view.stored.sheet.edition,
        view.approval and [view.approval.done_by, view.approval.done_at, view.approval.reason],
    ]
    return sha256(compact(said).encode()).hexdigest()[:32]


def sheet_pdf(workshop: Workshop, view: WheelView, paper: str = "a4") -> bytes:
    """The sheet in force as PDF. Raises Waits for an order on hold, KeyError for an unknown paper."""
    digest = sheet_digest(view, paper)
    known = _shelf.get(digest)
    if known is not None and view.order.state not in NOT_PRINTED:
        return known
    drawn = sheet.pdf((request_for(workshop, view, paper),))
    _shelf.put(digest, drawn)
    return drawn


def sheet_picture(workshop: Workshop, view: WheelView, page: Literal[1, 2]) -> str:
    """One page of the sheet in force as SVG. Raises Waits for an order on hold."""
    return sheet.svg(request_for(workshop, view, "a4"), page)


def lacing_picture(workshop: Workshop, view: WheelView) -> str:
    """The lacing of the wheel as SVG."""
    return sheet.lacing_svg(plan_of(workshop, view))


def request_for(workshop: Workshop, view: WheelView, paper: str) -> SheetRequest:
    """What the sheet in force is printed from. Raises Waits for an order on hold or cancelled."""
    if view.order.state == "cancelled":
        raise Waits(
            f"Order {view.order.number} of {view.order.source} is cancelled; "
            f"{view.stored.serial} is {view.stored.state} and has no sheet."
        )
    if view.order.state == ON_HOLD:
        raise Waits(
            f"Order {view.order.number} of {view.order.source} waits for an approval by name; "
            f"until then {view.stored.serial} has no sheet."
        )
    order = Order.model_validate_json(view.order.document)
    numbers = Numbers(view.stored.serial, view.stored.sheet.issue, view.stored.sheet.code)
    edition = edition_numbered(workshop, view.stored.sheet.edition)
    said = findings_of(json.loads(view.order.answer)["findings"])
    plan = plan_of(workshop, view)
    return sheet_request(order, edition, plan, numbers, said, PAPERS[paper], _released(view))


def _released(view: WheelView) -> Released | None:
    """Who released the order; an order that is not on hold any more has everything signed it needs."""
    given = view.approval
    return None if given is None else Released(given.done_by, given.done_at[:10], given.reason)
