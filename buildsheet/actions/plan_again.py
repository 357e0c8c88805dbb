"""The plan behind a sheet in force, also where an older version of this program kept it."""

from __future__ import annotations

from pydantic import ValidationError

from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.plan_record import read_back
from buildsheet.actions.show_wheel import WheelView
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.orders.check import check
from buildsheet.plan.plan import Plan


def plan_of(workshop: Workshop, view: WheelView) -> Plan:
    """The plan that the wheel's sheet in force prints.

    A record in the form of another version is computed again from the order and its edition, and
    counts only where it is the same wheel to the last figure that the fingerprint holds. Raises
    WorldError where it is not: such a wheel needs a new issue, not a sheet that says something else.
    """
    try:
        return read_back(view.kept)
    except ValidationError:
        edition = edition_numbered(workshop, view.stored.sheet.edition)
        plans = check(view.order.document.encode(), edition).plans
    again = plans.get(view.stored.position)
    if again is None or again.fingerprint != view.stored.sheet.fingerprint:
        raise WorldError(
            f"the plan of {view.stored.serial} was made by another version of this program, "
            "and this one does not come to the same wheel"
        )
    return again
