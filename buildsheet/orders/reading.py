"""A posted text as an order, or as much of one as can be read, with every fault of its form.

The draft keeps all members that are sound by themselves, so that the wheel can be judged although
its document is faulty: whoever posted it gets one complete answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from buildsheet.findings import Finding, Value, in_stable_order, pointer
from buildsheet.orders.codes import found
from buildsheet.orders.document import Order, positions_of
from buildsheet.orders.form import MASS_PLACES, fault_of_form, mass_missing
from buildsheet.orders.text import Parsed, parse, sift


@dataclass(frozen=True, slots=True)
class Reading:
    """What a posted document amounts to before any part is looked up.

    ``order`` is there only where the form is faultless; ``draft`` holds every sound member.
    """

    order: Order | None
    draft: Mapping[str, Value]
    findings: tuple[Finding, ...]


def read(raw: bytes) -> Reading:
    """Posted bytes as a reading; never raises for what stands in them."""
    return read_parsed(parse(raw))


def read_document(document: Mapping[str, Any]) -> Reading:
    """The same for a document that was parsed elsewhere."""
    return read_parsed(sift(document))


def read_parsed(parsed: Parsed) -> Reading:
    """The same for a text that is parsed already; its faults come along."""
    if parsed.document is None:
        return Reading(None, {}, in_stable_order(list(parsed.faults.values())))
    findings = list(parsed.faults.values())
    order, faults = _validated(parsed.document)
    told = set(parsed.faults)
    draft = deepcopy(parsed.document) if faults else parsed.document
    for at, fault in faults:
        _drop(draft, at)
        if not _told_above(at, told):
            findings.append(fault)
    findings.extend(_positions(draft, told | {at for at, _ in faults}))
    findings = _masses_as_one(findings)
    if any(each.blocks for each in findings):
        order = None
    return Reading(order, draft, in_stable_order(findings))


def _validated(document: Mapping[str, Value]) -> tuple[Order | None, list[tuple[str, Finding]]]:
    try:
        return Order.model_validate(document), []
    except ValidationError as error:
        details = error.errors(include_url=False)
    return None, [
        (pointer(*each["loc"]), fault_of_form(each))
        for each in details
        if each["type"] != "positions"
    ]


def _positions(draft: Mapping[str, Value], told: set[str]) -> list[Finding]:
    """The wheels that the kind asks for and the order lacks, or the other way round."""
    kind = draft.get("kind")
    if not isinstance(kind, str):
        return []
    wanted = positions_of(kind)
    findings: list[Finding] = []
    for name in ("front", "rear"):
        given = draft.get(name) is not None
        if given == (name in wanted) or _told_above(pointer(name), told):
            continue
        says = (
            f"Kind {kind!r} has a {name} wheel, and the order describes none. "
            "Add it, or order the other wheel alone."
            if not given
            else f"Kind {kind!r} has no {name} wheel, and the order describes one. "
            "Take it out, or order a set."
        )
        findings.append(
            found(
                "pair.kind",
                "block",
                pointer(name),
                says,
                have={"kind": kind, name: given},
                need={"wheels": [*sorted(wanted)]},
                also=("/kind",),
                edition=None,
            )
        )
    return findings


def _masses_as_one(findings: list[Finding]) -> list[Finding]:
    """Missing masses in one finding: they are asked for together and stated together."""
    missing = [each for each in findings if each.code == "load.mass-missing"]
    if len(missing) < 2:
        return findings
    places = [each for each in MASS_PLACES if each in {one.at for one in missing}]
    others = [each for each in findings if each.code != "load.mass-missing"]
    return [*others, mass_missing(places)]


def _told_above(at: str, told: set[str]) -> bool:
    """Whether a finding about this place, or about an object around it, is there already."""
    return any(at == each or at.startswith(each + "/") for each in told if each)


def _drop(document: dict[str, Value], at: str) -> None:
    """Take the member at a pointer out of the document, if it is there."""
    names = [part.replace("~1", "/").replace("~0", "~") for part in at.split("/")[1:]]
    if not names:
        return
    inner: Value = document
    for name in names[:-1]:
        inner = inner.get(name) if isinstance(inner, dict) else None
    if isinstance(inner, dict):
        inner.pop(names[-1], None)
