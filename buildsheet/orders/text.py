"""Posted bytes as the members of an order, strictly: see `buildsheet.documents.text`."""

from __future__ import annotations

from typing import Final

from buildsheet.documents import text
from buildsheet.documents.kind import Kind
from buildsheet.documents.text import Parsed
from buildsheet.orders.codes import CODES

ORDER: Final = Kind("an order", "order", CODES, lines_allowed=frozenset({"/note"}))
"""An order has about fifty members in four levels."""

MOST_BYTES: Final = ORDER.most_bytes
MOST_LEVELS: Final = ORDER.most_levels
MOST_MEMBERS: Final = ORDER.most_members

__all__ = ["MOST_BYTES", "MOST_LEVELS", "MOST_MEMBERS", "ORDER", "Parsed", "parse", "sift"]


def parse(raw: bytes) -> Parsed:
    """The posted bytes as a document, strictly."""
    return text.parse(raw, ORDER)


def sift(loaded: object) -> Parsed:
    """A parsed document without the values that no member may have, each with its finding."""
    return text.sift(loaded, ORDER)
