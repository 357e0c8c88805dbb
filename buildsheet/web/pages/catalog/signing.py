"""Who publishes, who approves, why and from when, as a form sends it."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request

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
