"""What the routes of moves, batches and events answer."""

from __future__ import annotations

from typing import Any, Literal

from buildsheet.web.openapi.shapes import FindingShape, Shape

ChangeKind = Literal["paper", "cosmetic", "structural"]


class LostShape(Shape):
    """One wheel: how the change goes there, and what is lost."""

    serial: str
    position: Literal["front", "rear"]
    state: str
    change: Literal["paper", "cosmetic", "structural", "cancel"]
    how: Literal["free", "recheck", "new-issue", "approval", "refused"]
    says: str


class ChangedShape(Shape):
    """What a change changes: the hardest kind, the places, and the kind for each wheel."""

    kind: ChangeKind
    places: list[str]
    wheels: dict[Literal["front", "rear"], ChangeKind]


class NewIssue(Shape):
    """A sheet that takes the place of another; the old one is void."""

    serial: str
    position: Literal["front", "rear"]
    issue: str
    void: str
    edition: int


class MoveAnswer(Shape):
    """A move that was made (`done`), or what it would come to (`dry_run`: `findings` hold what stands
    in its way)."""

    id: str
    source: str
    number: str
    move: Literal["hold", "approve", "release", "close", "cancel", "change"]
    done: bool
    at: str | None
    event: int | None
    revision: int
    state_before: str
    state: str
    lost: list[LostShape]
    needs_approval: bool
    changed: ChangedShape | None
    new_issue: list[NewIssue]
    findings: list[FindingShape]


class BatchItem(Shape):
    """One order of a batch: status and body as `POST /orders` would have answered. Its place in the batch
    is `at` (a JSON Pointer); pointers in the body begin there."""

    at: str
    status: int
    replayed: bool
    body: dict[str, Any]


class BatchAnswer(Shape):
    """Every order of the batch, in its order. `request` is the number of the request, for all of them.
    Each counts once: `taken` just now, `replayed` where it had been taken before, or `refused`."""

    request: str
    taken: int
    replayed: int
    refused: int
    orders: list[BatchItem]


class EventShape(Shape):
    """One thing that happened."""

    sequence: int
    at: str
    kind: str
    order: str | None
    serial: str | None
    facts: dict[str, Any]


class EventList(Shape):
    """Events in order; `next` is what to ask after."""

    events: list[EventShape]
    next: int
