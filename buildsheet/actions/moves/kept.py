"""What a change leaves in the record: for each wheel, and for whoever sends it again."""

from __future__ import annotations

import json
from collections.abc import Mapping

from buildsheet.actions.bench.view import as_state
from buildsheet.actions.codes import recorded
from buildsheet.actions.intake.earlier import body_digest
from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.moves.sheets import NewSheet, issued
from buildsheet.actions.plan_record import kept
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Finding
from buildsheet.orders.document import Order
from buildsheet.states import WheelMove, wheel_after
from buildsheet.storage import bench, events, moves, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.moves import Restart
from buildsheet.storage.orders import StoredOrder


def replayed(section: Section, order_id: str, order: Order) -> Moved | None:
    """The answer to a change that was made already; None where this revision is new.

    In conflict where the revision is taken with other content.
    """
    there = orders.by_business_key(section, *order.key)
    change = moves.change_to(section, order_id, order.revision)
    if there is None or there.id != order_id or change is None:
        return None
    if there.body_digest == body_digest(order):
        return Moved("replayed", answer=change.answer)
    return Moved("conflict", (_other_content(section, there),))


def _other_content(section: Section, there: StoredOrder) -> Finding:
    """That this revision says something else, with the revision that counts and the next number."""
    standing = orders.by_id(section, there.id)
    counts = standing.revision if standing else there.revision
    which = "it counts now" if counts == there.revision else f"revision {counts} counts now"
    return recorded(
        "order.duplicate",
        "/order/revision",
        f"Revision {there.revision} of {there.id} is taken with other content; {which}. Look what that one "
        f"says, quote {counts} as old_revision and give your change revision {counts + 1}.",
        edition=there.edition,
        have={"revision": there.revision},
        need={"order": there.id, "old_revision": counts, "revision": counts + 1},
    )


def keep_wheel(
    workshop: Workshop, section: Section, made: NewSheet, revision: int, at: str
) -> None:
    """The wheel's sheet after the change, and how much of the wheel is made over."""
    sheet = made.view.stored.sheet
    if made.kind == "paper":
        wheels.reprint(
            section,
            sheet.code,
            revision=revision,
            fingerprint=sheet.fingerprint,
            plan_digest=sheet.plan_digest,
        )
        return
    stored = kept(made.plan)
    wheels.insert_plan(section, stored)
    if made.new_issue:
        new = issued(workshop, made, revision=revision, plan_digest=stored.digest, at=at)
        wheels.issue_sheet(section, new, f"revision {revision} changes the wheel")
        facts = {"issue": new.issue, "void": sheet.issue, "edition": new.edition}
        _tell(section, made, "sheet.issued", facts, at)
    else:
        wheels.reprint(
            section,
            sheet.code,
            revision=revision,
            fingerprint=made.plan.fingerprint,
            plan_digest=stored.digest,
        )
    if made.keeps is not None:
        _make_over(section, made, made.keeps, at)


def _make_over(section: Section, made: NewSheet, keeps: tuple[str, ...], at: str) -> None:
    serial, state = made.view.stored.serial, as_state(made.view.stored.state)
    moves.restart(
        section,
        Restart(
            serial=serial,
            keeps=keeps,
            steps=len(bench.steps_of(section, serial)),
            passes=len(bench.passes_of(section, serial)),
            restarted_at=at,
        ),
    )
    move: WheelMove = "start-over" if made.new_issue else "finish-again"
    after = wheel_after(state, move)
    if after is None:
        return
    wheels.move(section, serial, after)
    facts = {"state_before": state, "state": after, "keeps": [*keeps]}
    _tell(section, made, "wheel.restarted", facts, at)


def _tell(
    section: Section, made: NewSheet, kind: str, facts: Mapping[str, object], at: str
) -> None:
    wheel = made.view.stored
    events.append(
        section,
        at=at,
        kind=kind,
        order_id=wheel.order_id,
        serial=wheel.serial,
        facts=json.dumps(dict(facts)),
    )
