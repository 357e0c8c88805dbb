"""What a request for a move says. ``dry_run`` asks only what would be lost."""

from __future__ import annotations

from typing import Annotated, Any, Final

from pydantic import Field

from buildsheet.bench.document import Member, Person
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.kind import Kind

LEAST_REASON: Final = 10
"""Characters of a reason that stands for more than a state: a word is none."""

MOVE_WORDS: Final = {
    "hold": "held",
    "approve": "approved",
    "release": "released",
    "cancel": "cancelled",
    "change": "changed",
}
"""What has happened to an order after each move: the last word of its event."""

MOVE: Final = Kind("a move of an order", "data", DOCUMENT_CODES)
CHANGE: Final = Kind(
    "a change of an order", "data", DOCUMENT_CODES, lines_allowed=frozenset({"/order/note"})
)

Reason = Annotated[str, Field(min_length=5, max_length=500, pattern=r"\S")]
FullReason = Annotated[str, Field(min_length=LEAST_REASON, max_length=500, pattern=r"\S")]
Revision = Annotated[int, Field(ge=1, le=9999)]


class HoldDocument(Member):
    """Nothing is built until somebody approves."""

    by: Person
    reason: Reason
    dry_run: bool = False


class ApproveDocument(Member):
    """A name and a reason for what the checks would not let through alone; printed on the sheets."""

    by: Person
    reason: FullReason
    dry_run: bool = False


class ReleaseDocument(Member):
    """The order goes to the bench."""

    by: Person
    reason: Annotated[str, Field(max_length=500)] = ""
    dry_run: bool = False


class CancelDocument(Member):
    """``approved_by`` stands for what is lost, where the state of a wheel asks for that."""

    by: Person
    reason: Reason
    approved_by: Person | None = None
    dry_run: bool = False


class ChangeDocument(Member):
    """The order as it should be, whole; ``old_revision`` is the one that it replaces."""

    by: Person
    reason: Reason
    old_revision: Revision
    order: dict[str, Any]
    approved_by: Person | None = None
    dry_run: bool = False
