"""What is answered when an order is taken, kept so that the very same text can be given again.

The head (numbers, findings, wheels) is kept with the order; the plans, which are long and often the
same, are kept once each. The whole answer is the head with the plans set in as its last member.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from pydantic_core import to_json

from buildsheet.actions.plan_record import compact
from buildsheet.findings import Finding, Value
from buildsheet.remembered import Remembered
from buildsheet.storage import wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder

API: Final = "/api/v1"


@dataclass(frozen=True, slots=True)
class WheelHead:
    """One wheel of a taken order."""

    serial: str
    position: str
    issue: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class OrderHead:
    """A taken order without its plans. ``event`` is the place in the list of events, ``holds`` what is set
    aside for it, as JSON text."""

    id: str
    source: str
    number: str
    revision: int
    state: str
    needs_release: bool
    edition: int
    taken_at: str
    event: int
    findings: tuple[Finding, ...]
    wheels: tuple[WheelHead, ...]
    holds: str


@dataclass(frozen=True, slots=True)
class Answered:
    """The answer to a taken order: its number and the whole JSON text."""

    order_id: str
    text: str


def head_text(head: OrderHead) -> str:
    """The head as JSON text."""
    before = _text(
        {
            "id": head.id,
            "source": head.source,
            "number": head.number,
            "revision": head.revision,
            "state": head.state,
            "needs_release": head.needs_release,
            "edition": head.edition,
            "taken_at": head.taken_at,
            "event": head.event,
        }
    )
    wheels = ",".join(map(_wheel_text, head.wheels))
    findings = _findings_text(head.findings)
    return f'{before[:-1]},"findings":{findings},"wheels":[{wheels}],"holds":{head.holds}}}'


def _wheel_text(wheel: WheelHead) -> str:
    """By hand, as it is made for every wheel: nothing in it needs a backslash."""
    at = f"{API}/wheels/{wheel.serial}"
    return (
        f'{{"serial":"{wheel.serial}","position":"{wheel.position}","issue":"{wheel.issue}",'
        f'"fingerprint":"{wheel.fingerprint}","wheel":"{at}","plan":"{at}/plan","sheet":"{at}/sheet.pdf"}}'
    )


def _text(document: dict[str, Value]) -> str:
    """As `compact`, for texts and whole numbers, quicker: this is made for every order."""
    return to_json(document).decode()


_REMEMBERED: Final = 2048
_said = Remembered[tuple[tuple[Finding, ...], str]](_REMEMBERED)
_said_each = Remembered[tuple[Finding, str]](4 * _REMEMBERED)
"""By identity; what is kept beside a text cannot go, so that its number is nobody else's."""


def _findings_text(findings: tuple[Finding, ...]) -> str:
    """Findings as JSON text: made once for those of a judgement that is kept, whoever orders."""
    known = _said.get(id(findings))
    if known is None:
        known = (findings, f"[{','.join(map(_finding_text, findings))}]")
        _said.put(id(findings), known)
    return known[1]


def _finding_text(finding: Finding) -> str:
    """Most findings of a judgement are shared with those of other masses."""
    known = _said_each.get(id(finding))
    if known is None:
        known = (finding, compact(finding.as_json()))
        _said_each.put(id(finding), known)
    return known[1]


def with_plans(head: str, plans: Mapping[str, str]) -> str:
    """The head with the plan documents as its last member; all of it stays text.

    >>> with_plans('{"id":"A26-00001-A"}', {"front": '{"holes":24}'})
    '{"id":"A26-00001-A","plans":{"front":{"holes":24}}}'
    """
    inner = ",".join(f'"{position}":{document}' for position, document in plans.items())
    return f'{head[:-1]},"plans":{{{inner}}}}}'


def whole_answer(section: Section, stored: StoredOrder) -> Answered:
    """What was answered when this revision was taken."""
    plans = wheels.plans_of(section, stored.id, stored.revision)
    return Answered(stored.id, with_plans(stored.answer, plans))
