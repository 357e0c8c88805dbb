"""Many orders in one post: taken one after another, each whole or not at all, each with its own answer.

An order is its own transaction, so what is taken stays taken whatever follows, and a batch that broke
off is sent again: every order that was taken is answered as it was answered then.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, Final

from pydantic import Field

from buildsheet.actions.intake.earlier import Took
from buildsheet.actions.plan_record import compact
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.document import Member
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.form import Read, read
from buildsheet.documents.kind import Kind

MOST_ORDERS: Final = 500
MOST_BYTES: Final = 8 * 1024 * 1024
_NOTES: Final = frozenset(f"/orders/{place}/note" for place in range(MOST_ORDERS))

BATCH: Final = Kind(
    "a batch of orders",
    "data",
    DOCUMENT_CODES,
    most_bytes=MOST_BYTES,
    most_members=MOST_ORDERS * 400,
    lines_allowed=_NOTES,
)


class BatchDocument(Member):
    """Orders as `POST /orders` takes them, in the order in which stock is to be held for them."""

    orders: Annotated[tuple[dict[str, Any], ...], Field(min_length=1, max_length=MOST_ORDERS)]


def read_batch(raw: bytes) -> Read[BatchDocument]:
    """The list, or every fault of its form."""
    return read(raw, BatchDocument, BATCH)


def take_batch(workshop: Workshop, batch: BatchDocument) -> Iterator[Took]:
    """What became of every order, as soon as it is done.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    for document in batch.orders:
        yield take_order(workshop, compact(document).encode())
