"""Who publishes, who approves, why and from when, as a form sends it."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request

from buildsheet.actions.desk.approve import StoredApproval
from buildsheet.actions.desk.people import is_same_person
from buildsheet.web.access.who import signed_in

LONGEST_NAME = 60
LONGEST_REASON = 500


@dataclass(frozen=True, slots=True)
class Signing:
    """The fields of the form, as typed."""

    author: str = ""
    approver: str = ""
    reason: str = ""
    starts: str = ""


@dataclass(frozen=True, slots=True)
class Asks:
    """Where people sign in: who is here, who has approved, and whether whoever is here still may."""

    name: str
    approvals: tuple[StoredApproval, ...]

    @property
    def has_approved(self) -> bool:
        """Whether whoever is here has approved already."""
        return any(is_same_person(each.by, self.name) for each in self.approvals)


def asked_here(approvals: tuple[StoredApproval, ...]) -> Asks | None:
    """Who is here and who has approved; None in a workshop that asks nobody."""
    name = signed_in()
    return None if name is None else Asks(name, approvals)


def signed() -> Signing:
    """What was sent; a reason of several lines becomes one. Who is signed in is the author."""
    return Signing(
        author=signed_in() or _line("_by", LONGEST_NAME + 1),
        approver=_line("_approver", LONGEST_NAME + 1),
        reason=_line("_reason", LONGEST_REASON),
        starts=_line("_starts", 40),
    )


def _line(name: str, longest: int) -> str:
    return " ".join(request.form.get(name, "").split())[:longest]
