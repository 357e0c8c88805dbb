"""The day by which an order is wanted, looked at when it comes: no part of what its wheels are."""

from __future__ import annotations

from buildsheet.actions.codes import RECORD_CODES
from buildsheet.codes import of_entry
from buildsheet.findings import Finding
from buildsheet.orders.document import Order


def passed_already(order: Order, today: str, edition: int) -> tuple[Finding, ...]:
    """A caution where the day had passed when the order came; ``today`` by the workshop's clock, as
    2031-05-01. Nothing for an order that names no day."""
    wanted = order.wanted_by
    if wanted is None or wanted >= today:
        return ()
    return (
        of_entry(
            RECORD_CODES["order.wanted-by-past"],
            "caution",
            "/wanted_by",
            f"The order is wanted by {wanted}, and it came on {today}. Ask for another day, or look for a "
            "slip in the date.",
            edition=edition,
            have={"wanted_by": wanted},
            need={"earliest": today},
            also=(),
        ),
    )
