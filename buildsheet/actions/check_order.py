"""Every finding about an order and the plans of its wheels; stores nothing."""

from __future__ import annotations

from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import Checked, check


def check_order(raw: bytes, edition: Edition) -> Checked:
    """The posted bytes judged against one edition."""
    return check(raw, edition)


def check_posted(workshop: Workshop, raw: bytes) -> Checked:
    """The posted bytes judged against the running edition. Raises NoEdition where none is loaded."""
    return check(raw, running_edition(workshop))
