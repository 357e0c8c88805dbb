"""What publishing the draft would do to what can be built, to open orders and to the shelves."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from buildsheet.actions.desk.shelves import shelves
from buildsheet.actions.desk.standing import NoDraft, the_draft
from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.space.builds import builds_of
from buildsheet.space.impact.impact import Impact, impact
from buildsheet.space.impact.orders import OpenOrder
from buildsheet.states import STATIONS
from buildsheet.storage import orders, wheels

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class DraftImpact:
    """The impact of the draft as it stood in ``version``; None where ``findings`` say why it cannot be
    read. ``shelf_findings``: what is wrong with the stock list, whose lines then count for nothing."""

    version: int
    impact: Impact | None
    findings: tuple[Finding, ...]
    shelf_findings: tuple[Finding, ...] = ()


def draft_impact(
    workshop: Workshop, *, stock: Path | None = None, progress: Progress | None = None
) -> DraftImpact:
    """The draft against the edition it was made from, over all open orders. ``stock`` is a directory with
    a stock list, in place of the workshop's own shelves. Raises NoDraft, WorldError."""
    draft = the_draft(workshop)
    if draft is None:
        raise NoDraft
    if draft.edition is None:
        return DraftImpact(draft.version, None, draft.findings)
    old = edition_numbered(workshop, draft.based_on)
    lines, trouble = shelves(workshop, old, stock)
    if progress is not None:
        for edition in (old, draft.edition):
            builds_of(edition, progress=progress)
    found = impact(old, draft.edition, orders=open_orders(workshop), stock=lines or ())
    return DraftImpact(draft.version, found, draft.findings, trouble)


def open_orders(workshop: Workshop) -> tuple[OpenOrder, ...]:
    """Every order that is not shipped, closed or cancelled, with the edition that it is held to."""
    with workshop.database.reading() as section:
        stored = orders.standing(section)
        states = wheels.states_by_order(section)
    editions: dict[int, Edition] = {}
    for each in stored:
        if each.edition not in editions:
            editions[each.edition] = edition_numbered(workshop, each.edition)
    return tuple(
        OpenOrder(
            each.id,
            each.source,
            each.number,
            how_far(each.state, states.get(each.id, ())),
            editions[each.edition],
            json.loads(each.document),
        )
        for each in stored
    )


def how_far(order_state: str, wheel_states: Sequence[str]) -> str:
    """How far an order is, for whoever wants to change it: its most advanced wheel binds.

    >>> how_far("accepted", ("planned", "planned")), how_far("on-hold", ("drilled", "building"))
    ('accepted', 'building')
    """
    begun = [each for each in wheel_states if each in STATIONS and each != STATIONS[0]]
    return max(begun, key=list(STATIONS).index) if begun else order_state
