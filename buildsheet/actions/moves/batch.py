"""Many orders in one post: taken one after another, each whole or not at all, each with its own answer.

An order is its own transaction, so what is taken stays taken whatever follows, and a batch that broke
off is sent again: every order that was taken is answered as it was answered then. What is no order is
refused in its place, as it would be alone, and keeps nobody else waiting.
"""

from __future__ import annotations

import json
from copy import copy
from dataclasses import dataclass
from typing import Annotated, Any, Final

from pydantic import Field

from buildsheet.actions.editions import running_edition
from buildsheet.actions.intake.earlier import Took
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.document import Member
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.form import read_parsed
from buildsheet.documents.kind import Kind
from buildsheet.documents.text import Parsed, load, sift
from buildsheet.findings import Finding
from buildsheet.orders import reading, text
from buildsheet.orders.check import check_read

MOST_ORDERS: Final = 500
MOST_BYTES: Final = 8 * 1024 * 1024

BATCH: Final = Kind(
    "a batch of orders",
    "data",
    DOCUMENT_CODES,
    most_bytes=MOST_BYTES,
    # An order that nests deeper than orders do is told so itself.
    most_levels=4 * text.MOST_LEVELS,
    most_members=MOST_ORDERS + 100,
)
"""The list by itself; what stands in an order is bounded by the order's own kind."""


class BatchDocument(Member):
    """Orders as `POST /orders` takes them, in the order in which stock is to be held for them. What is no
    order is refused in its place; the others are taken."""

    orders: Annotated[tuple[Any, ...], Field(min_length=1, max_length=MOST_ORDERS)]


@dataclass(frozen=True, slots=True)
class Batch:
    """``orders`` as they were posted, each to be read by itself; none where ``findings`` say why the list
    is no batch."""

    orders: tuple[object, ...]
    findings: tuple[Finding, ...] = ()


def read_batch(raw: bytes) -> Batch:
    """The orders of a batch, unread, or every fault of the list."""
    loaded = load(raw, BATCH)
    parsed = loaded if isinstance(loaded, Parsed) else sift(_list_alone(loaded), BATCH)
    read = read_parsed(parsed, BatchDocument, BATCH)
    if read.document is None or not isinstance(loaded, dict):
        return Batch((), read.findings)
    return Batch(tuple(loaded["orders"]))


def _list_alone(loaded: object) -> object:
    """The document with nothing in its orders: as long as the list is, or too long."""
    if not isinstance(loaded, dict) or not isinstance(loaded.get("orders"), list):
        return loaded
    alone = copy(loaded)
    alone["orders"] = [None] * min(len(loaded["orders"]), MOST_ORDERS + 1)
    return alone


def take_from_batch(workshop: Workshop, posted: object) -> Took:
    """What became of one order of a batch, which nobody has looked into before.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    alone = _by_itself(posted)
    if len(alone) > text.MOST_BYTES:
        return take_order(workshop, alone)
    parsed = text.sift(posted)
    if parsed.document is not None and not parsed.faults:
        return take_order(workshop, alone)
    if isinstance(load(alone, text.ORDER), Parsed):
        # So deep that it is no order by itself either.
        return take_order(workshop, alone)
    # Its text cannot be written again as it was: members twice, or numbers that are none.
    edition = running_edition(workshop)
    checked = check_read(parsed, reading.read_parsed(parsed), edition)
    return Took("refused", checked.findings, edition.number)


def _by_itself(posted: object) -> bytes:
    """What stands in the list as text by itself; what is no number stands in it as text."""
    written = json.dumps(
        posted, ensure_ascii=False, separators=(",", ":"), default=lambda number: number.text
    )
    return written.encode("utf-8", "replace")
