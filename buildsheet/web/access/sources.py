"""A key of role intake belongs to one sender: it takes and sees no other's orders."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from flask import Response

from buildsheet.orders.text import parse
from buildsheet.web.access.who import visitor_here
from buildsheet.web.problems import problem


def own_source() -> str | None:
    """The sender whose orders this visitor is kept to; None for whoever may see all."""
    visitor = visitor_here()
    return visitor.source if visitor else None


def refused_order(raw: bytes) -> Response | None:
    """The refusal of another sender's order; None for an own one, and for what is no document at all.

    Read as the order itself is read: what this does not see as a source, the order has not either.
    """
    own = own_source()
    if own is None or _plainly_of(own, raw):
        return None
    document = parse(raw).document
    return None if document is None else refused_orders([document])


def refused_orders(documents: Iterable[Mapping[str, object]]) -> Response | None:
    """The refusal of a batch in which one order is another sender's."""
    own = own_source()
    if own is None:
        return None
    for document in documents:
        source = document.get("source")
        # An order without a source is refused as every other sender's would be.
        if isinstance(source, str) and source != own:
            says = f"This key takes the orders of {own} and of nobody else."
            return problem("not-allowed", says)
    return None


def _plainly_of(source: str, raw: bytes) -> bool:
    """Whether a plain look finds this source: enough for nearly every order, and quicker.

    A document that says two sources is refused whole by the strict reader.
    """
    try:
        document = json.loads(raw)
    except (ValueError, RecursionError):
        return False
    return isinstance(document, dict) and document.get("source") == source
