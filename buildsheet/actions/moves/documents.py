"""What a request for a move says. ``dry_run`` asks only what would be lost."""

from __future__ import annotations

from typing import Annotated, Any, Final, Self

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
    "close": "closed",
    "cancel": "cancelled",
    "change": "changed",
}
"""What has happened to an order after each move: the last word of its event."""

OPEN: Final = frozenset({"accepted", "on-hold", "released"})
"""States of an order that can still be changed."""

MOVE: Final = Kind("a move of an order", "data", DOCUMENT_CODES)
CHANGE: Final = Kind(
    "a change of an order", "data", DOCUMENT_CODES, lines_allowed=frozenset({"/order/note"})
)

Reason = Annotated[str, Field(min_length=5, max_length=500, pattern=r"\S")]
FullReason = Annotated[str, Field(min_length=LEAST_REASON, max_length=500, pattern=r"\S")]
Revision = Annotated[int, Field(ge=1, le=9999)]


class MoveDocument(Member):
    """Who asks, and whether only what would be lost is asked."""

    by: Person
    dry_run: bool = False

    def signed(self, name: str | None) -> Self:
        """The same from whoever is signed in, whatever name was typed; nobody approves for another."""
        if name is None:
            return self
        update = {"by": name}
        if getattr(self, "approved_by", None) is not None:
            update["approved_by"] = name
        return self.model_copy(update=update)


class RevisionDocument(MoveDocument):
    """``revision`` is the one that was looked at; left out, whichever counts."""

    revision: Revision | None = None


class HoldDocument(RevisionDocument):
    """Nothing is built until somebody approves."""

    reason: Reason


class ApproveDocument(RevisionDocument):
    """A name and a reason for what the checks would not let through alone; printed on the sheets."""

    reason: FullReason


class ReleaseDocument(RevisionDocument):
    """The order goes to the bench."""

    reason: Annotated[str, Field(max_length=500)] = ""


class CloseDocument(RevisionDocument):
    """Nothing is left to do for an order that has left the house."""

    reason: Annotated[str, Field(max_length=500)] = ""


class CancelDocument(RevisionDocument):
    """``approved_by`` stands for what is lost, where the state of a wheel asks for that."""

    reason: Reason
    approved_by: Person | None = None


class ChangeDocument(MoveDocument):
    """The order as it should be, whole; ``old_revision`` is the one that it replaces."""

    reason: Reason
    old_revision: Revision
    order: dict[str, Any]
    approved_by: Person | None = None
