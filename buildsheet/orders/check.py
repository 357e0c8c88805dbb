"""The whole answer to a posted order: every finding with its ways out, and every wheel's plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from buildsheet.catalog.edition import Edition
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.orders.checks.finish import decals
from buildsheet.orders.document import Order
from buildsheet.orders.judging import Judgement
from buildsheet.orders.posted import PostedWheel
from buildsheet.orders.reading import Reading
from buildsheet.orders.text import Parsed, parse, sift
from buildsheet.orders.ways_out import with_ways_out
from buildsheet.plan.build import build
from buildsheet.plan.document import plan_document
from buildsheet.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class Checked:
    """An order judged over one edition.

    ``order`` is there where the document's form is faultless, whether or not it can be built.
    ``plans`` holds every wheel that can be computed, also where other findings block.
    """

    order: Order | None
    edition: int
    findings: tuple[Finding, ...]
    plans: Mapping[str, Plan]

    @property
    def buildable(self) -> bool:
        """True where nothing blocks; approvals may still be needed."""
        return not any(each.blocks for each in self.findings)

    @property
    def needs_release(self) -> bool:
        """True where somebody must put a name and a reason to it before it is built."""
        return any(each.severity == "approval" for each in self.findings)

    def as_json(self) -> dict[str, Value]:
        """The document of the interfaces."""
        return {
            "buildable": self.buildable,
            "edition": self.edition,
            "findings": [each.as_json() for each in self.findings],
            "plans": {position: plan_document(plan) for position, plan in self.plans.items()},
        }


def check(raw: bytes, edition: Edition) -> Checked:
    """Everything to say about posted bytes. Never raises for what stands in them."""
    return checked(Judgement(parse(raw), edition))


def check_read(parsed: Parsed, reading: Reading, edition: Edition) -> Checked:
    """The same for a document that was parsed and read already."""
    return checked(Judgement(parsed, edition, reading=reading))


def check_document(document: Mapping[str, Any], edition: Edition) -> Checked:
    """The same for a document that was parsed elsewhere."""
    return checked(Judgement(sift(document), edition))


def at_once() -> None:
    """Nobody waits meanwhile."""


def checked(
    judged: Judgement,
    plans: Mapping[str, Plan] | None = None,
    before_search: Callable[[], None] = at_once,
) -> Checked:
    """The whole answer of a judgement; ``plans`` where those of its wheels are known already.
    ``before_search`` is called before ways out are looked for, which takes far longer than the findings
    did."""
    findings = with_ways_out(judged, before_search)
    if plans is None:
        planned = {wheel.position: _plan(wheel) for wheel in judged.posted.wheels}
        plans = {position: plan for position, plan in planned.items() if plan is not None}
    return Checked(judged.reading.order, judged.edition.number, in_stable_order(findings), plans)


def _plan(wheel: PostedWheel) -> Plan | None:
    if wheel.computed is None:
        return None
    sets = tuple(each.code for each in decals(wheel))
    assembly = wheel.computed.assembly
    try:
        return build(assembly, wheel.edition, decals=sets)
    except CannotCompute:
        # The tension does not stand (a block says so); what follows from geometry is still true.
        return build(assembly, wheel.edition, decals=sets, with_structure=False)
    except CannotLace:
        return None
