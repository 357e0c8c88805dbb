"""A key of role intake belongs to one sender: it takes and sees no other's orders."""

from __future__ import annotations

import json

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
    return refused_document(parse(raw).document)


def refused_document(posted: object) -> Response | None:
    """The refusal of an order that is another sender's; None for an own one, and for what is no order.

    Nothing is looked up for it: whether there is such an order, and whose, is not told.
    """
    own = own_source()
    if own is None or not isinstance(posted, dict):
        return None
    source = posted.get("source")
    # An order without a source is refused as every other sender's would be.
    if not isinstance(source, str) or source == own:
        return None
    return problem("not-allowed", f"This key takes the orders of {own} and of nobody else.")


def _plainly_of(source: str, raw: bytes) -> bool:
    """Whether a plain look finds this source: enough for nearly every order, and quicker.

    A document that says two sources is refused whole by the strict reader.
    """
    try:
        document = json.loads(raw)
    except (ValueError, RecursionError):
        return False
    return isinstance(document, dict) and document.get("source") == source
