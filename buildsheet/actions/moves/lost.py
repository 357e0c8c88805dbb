"""What a change or a cancellation means for every wheel of an order, said before it is done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildsheet.actions.bench.view import as_state
from buildsheet.actions.moves.codes import moved
from buildsheet.actions.moves.documents import LEAST_REASON
from buildsheet.findings import Finding, Value
from buildsheet.states import Change, How, WheelState, consequence
from buildsheet.storage.wheels import StoredWheel


@dataclass(frozen=True, slots=True)
class Lost:
    """One wheel: where it stands, how the change goes there, and what is lost in words."""

    serial: str
    position: str
    state: WheelState
    change: Change
    how: How
    says: str
    new_issue: bool

    def as_json(self) -> dict[str, Value]:
        """One line of the answer."""
        return {
            "serial": self.serial,
            "position": self.position,
            "state": self.state,
            "change": self.change,
            "how": self.how,
            "says": self.says,
        }


def lost(wheel: StoredWheel, change: Change, also: str = "") -> Lost:
    """What this change means for this wheel; ``also`` is said besides."""
    state = as_state(wheel.state)
    means = consequence(state, change)
    says = f"{means.lost} {also}".strip()
    return Lost(wheel.serial, wheel.position, state, change, means.how, says, means.new_issue)


def standing_in_the_way(
    losses: Iterable[Lost], approved_by: str | None, reason: str
) -> tuple[Finding, ...]:
    """A block for every wheel that has come too far, or whose loss nobody has put a name to."""
    findings = []
    for each in losses:
        where = f"{each.serial} ({each.position}) is {each.state}"
        have: dict[str, Value] = {"serial": each.serial, "state": each.state}
        if each.how == "refused":
            findings.append(moved("move.too-late", "", f"{where}. {each.says}", have=have))
        elif each.how == "approval" and approved_by is None:
            says = f"{where}. {each.says} Say who approves that, and why."
            need: dict[str, Value] = {"approved_by": "a name", "reason": "why"}
            findings.append(
                moved("move.approval-needed", "/approved_by", says, have=have, need=need)
            )
        elif each.how == "approval" and len(reason.strip()) < LEAST_REASON:
            says = f"{where}. An approval needs a reason of at least {LEAST_REASON} characters."
            findings.append(
                moved(
                    "move.approval-needed", "/reason", says, have=have, need={"least": LEAST_REASON}
                )
            )
    return tuple(findings)
