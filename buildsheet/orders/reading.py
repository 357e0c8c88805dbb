"""A posted text as an order, or as much of one as can be read, with every fault of its form.

The draft keeps all members that are sound by themselves, so that the wheel can be judged although
its document is faulty: whoever posted it gets one complete answer.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Container, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from pydantic import ValidationError

from buildsheet.documents.text import is_told
from buildsheet.findings import Finding, Value, in_stable_order, pointer
from buildsheet.orders.changes import changed, value_at
from buildsheet.orders.codes import found
from buildsheet.orders.document import Order, positions_of
from buildsheet.orders.form import MASS_PLACES, fault_of_form, mass_missing
from buildsheet.orders.text import Parsed, parse, sift

_WHEELS: Final = frozenset({"/front", "/rear"})
_DECIDE: Final = ("kind", "front", "rear")
"""Members that say which wheels there are."""


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
    order = _whole(parsed.raw) if parsed.raw is not None else None
    if order is not None:
        return Reading(order, parsed.document, ())
    order, faults = _validated(parsed.document)
    draft = _without(parsed.document, faults)
    findings = [*parsed.faults.values(), *_untold(faults, parsed.faults)]
    findings.extend(_positions(draft, {*parsed.faults, *faults}))
    findings = _masses_as_one(findings)
    if any(each.blocks for each in findings):
        order = None
    return Reading(order, draft, in_stable_order(findings))


def read_again(
    before: Reading, held: Mapping[str, Value], parsed: Parsed, places: Collection[str]
) -> list[Finding]:
    """What there is to say at these places, and about the wheels that the kind has.

    ``before`` is the reading of ``held``, a document that differs from the parsed one at these places
    and nowhere else; as text it is sound there. No member is at fault for what stands in another one, but
    for the wheels of a kind.
    """
    roots = frozenset(_root(at, held) for at in places)
    stand = {root: value_at(parsed.document or {}, root) for root in roots}
    found: dict[str, Finding] = {}
    for root, value in stand.items():
        found |= _faults_at(root, json.dumps(value))
    sound = _without(changed({}, stand.items()), found)
    draft = {**before.draft, **{each: sound.get(each) for each in _DECIDE if f"/{each}" in roots}}
    told = {each.at for each in before.findings if each.at in _WHEELS and each.code != "pair.kind"}
    told = {*(told - roots), *(_WHEELS & parsed.faults.keys()), *found}
    return _masses_as_one([*_untold(found, parsed.faults), *_positions(draft, told)])


@lru_cache(maxsize=4096)
def _faults_at(at: str, value: str) -> Mapping[str, Finding]:
    """Place -> what the model says of a value (JSON) that stands at one place of a document."""
    _, faults = _validated(changed({}, [(at, json.loads(value))]))
    return {place: each for place, each in faults.items() if is_told(place, {at})}


def _root(at: str, held: Mapping[str, Value]) -> str:
    """The place itself, or the first object on the way to it that was none before: with that object, all
    that it lacks has come."""
    names = at.split("/")
    for length in range(2, len(names)):
        above = "/".join(names[:length])
        if not isinstance(value_at(held, above), dict):
            return above
    return at


def _whole(raw: bytes) -> Order | None:
    """The order that sound text says; None where it is at fault. From text the model is read in half the
    time, and nearly every order is sound."""
    try:
        return Order.model_validate_json(raw)
    except ValidationError:
        return None


def _validated(document: Mapping[str, Value]) -> tuple[Order | None, dict[str, Finding]]:
    """The order, or place -> what the model says of it."""
    try:
        return Order.model_validate(document), {}
    except ValidationError as error:
        details = error.errors(include_url=False)
    return None, {
        pointer(*each["loc"]): fault_of_form(each)
        for each in details
        if each["type"] != "positions"
    }


def _untold(faults: Mapping[str, Finding], told: Container[str]) -> list[Finding]:
    """What the model says, but where the text is at fault already, there or round it."""
    return [each for at, each in faults.items() if not is_told(at, told)]


def _positions(draft: Mapping[str, Value], told: Collection[str]) -> list[Finding]:
    """The wheels that the kind asks for and the order lacks, or the other way round."""
    kind = draft.get("kind")
    if not isinstance(kind, str):
        return []
    wanted = positions_of(kind)
    findings: list[Finding] = []
    for name in ("front", "rear"):
        given = draft.get(name) is not None
        if given == (name in wanted) or is_told(f"/{name}", told):
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


def _without(document: dict[str, Value], faults: Collection[str]) -> dict[str, Value]:
    """The document without the members at these places; the same one where there are none."""
    if not faults:
        return document
    kept = {name: _copied(value) for name, value in document.items()}
    for at in faults:
        _drop(kept, at)
    return kept


def _copied(value: Value) -> Value:
    """A value whose objects can be taken apart; lists are never, and are shared."""
    if isinstance(value, dict):
        return {name: _copied(inner) for name, inner in value.items()}
    return value


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
