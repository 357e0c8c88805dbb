"""What is answered to a move, and how it is kept, so that the same request gets the same answer."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any, Literal

from pydantic import BaseModel

from buildsheet.actions.codes import recorded
from buildsheet.actions.moves.codes import moved
from buildsheet.actions.moves.documents import MOVE_WORDS, RevisionDocument
from buildsheet.actions.moves.lost import Lost
from buildsheet.actions.moves.open_moves import moves_from, states_with
from buildsheet.actions.plan_record import compact
from buildsheet.findings import Finding, Value
from buildsheet.storage import moves
from buildsheet.storage.database import Section
from buildsheet.storage.moves import StoredMove
from buildsheet.storage.orders import StoredOrder

Outcome = Literal[
    "done", "dry-run", "replayed", "refused", "unbuildable", "conflict", "key-reused", "unknown"
]


@dataclass(frozen=True, slots=True)
class Moved:
    """What became of a request: ``done``, said only (``dry-run``), ``replayed``; ``refused`` for its
    form, ``unbuildable`` as changed, in ``conflict`` with where things stand; ``unknown`` order.

    ``answer`` is JSON text wherever there is something to say about losses, also in a conflict.
    """

    outcome: Outcome
    findings: tuple[Finding, ...] = ()
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """An answer before it is text."""

    move: str
    before: StoredOrder
    state: str
    revision: int
    lost: tuple[Lost, ...] = ()
    changed: Mapping[str, Value] | None = None
    new_issue: tuple[Mapping[str, Value], ...] = ()
    findings: tuple[Finding, ...] = ()

    def text(self, *, done: bool, at: str | None = None, event: int | None = None) -> str:
        """The answer as JSON. Not ``done``: ``state`` and ``revision`` are what they would become."""
        return compact(
            {
                "id": self.before.id,
                "source": self.before.source,
                "number": self.before.number,
                "move": self.move,
                "done": done,
                "at": at,
                "event": event,
                "revision": self.revision,
                "state_before": self.before.state,
                "state": self.state,
                "lost": [each.as_json() for each in self.lost],
                "needs_approval": any(each.how == "approval" for each in self.lost),
                "changed": self.changed,
                "new_issue": list(self.new_issue),
                "findings": [each.as_json() for each in self.findings],
            }
        )


def digest_of(move: str, document: BaseModel) -> str:
    """A digest of what a request says, however it was spaced or sorted."""
    said: dict[str, Any] = {"move": move, "document": document.model_dump(mode="json")}
    text = json.dumps(said, sort_keys=True, separators=(",", ":"))
    return "sha256:" + sha256(text.encode()).hexdigest()


def before_by_key(section: Section, order_id: str, key: str | None, digest: str) -> Moved | None:
    """The answer that this key got before; None where it is new or there is none."""
    kept = moves.by_key(section, order_id, key) if key else None
    if kept is None:
        return None
    if kept.body_digest == digest:
        return Moved("replayed", answer=kept.answer)
    says = (
        f"This Idempotency-Key was used for another move of {order_id}; every request has its own."
    )
    return Moved(
        "key-reused",
        (recorded("order.key-reused", "", says, edition=None, need={"order": order_id}),),
    )


def not_from_here(order: StoredOrder, move: str) -> Finding:
    """That the order's state has no such move; the states that have it, the moves of this one."""
    can = [MOVE_WORDS[each] for each in moves_from(order.state)]
    now = f"From there it can be {' or '.join(can)}." if can else "Nothing is done to it any more."
    return moved(
        "move.not-from-here",
        "",
        f"Order {order.number} of {order.source} is {order.state}; it cannot be {MOVE_WORDS[move]} "
        f"from there. {now}",
        have={"state": order.state},
        need={"state": [*sorted(states_with(move))]},
    )


def overtaken(order: StoredOrder, document: RevisionDocument) -> Finding | None:
    """That another revision counts than the one that was looked at; None where it is the same."""
    if document.revision in (None, order.revision):
        return None
    return moved(
        "move.old-revision",
        "/revision",
        f"Revision {order.revision} counts, and revision {document.revision} was looked at. "
        "Look what it says now.",
        have={"revision": document.revision},
        need={"revision": order.revision},
    )


def keep(
    section: Section,
    told: Told,
    *,
    key: str | None,
    digest: str,
    by: str,
    approved_by: str | None = None,
    reason: str,
    at: str,
    event: int,
) -> Moved:
    """Keep a move that was made, with its answer."""
    answer = told.text(done=True, at=at, event=event)
    moves.insert(
        section,
        StoredMove(
            order_id=told.before.id,
            revision=told.revision,
            move=told.move,
            key=key,
            body_digest=digest,
            before=told.before.state,
            after=told.state,
            done_by=by,
            approved_by=approved_by,
            reason=reason.strip(),
            done_at=at,
            answer=answer,
        ),
    )
    return Moved("done", told.findings, answer)


def within(findings: Iterable[Finding], member: str) -> tuple[Finding, ...]:
    """Findings about a document that stood at a member of a greater one: every pointer leads there."""
    return tuple(
        replace(
            each,
            at=member + each.at,
            also=tuple(member + place for place in each.also),
            try_=tuple(replace(way, at=member + way.at) for way in each.try_),
            together=tuple(
                {member + place: value for place, value in changes.items()}
                for changes in each.together
            ),
        )
        for each in findings
    )
