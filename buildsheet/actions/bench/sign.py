"""Somebody stands for a pass: as it is, or with a remark and a reason; then the wheel is inspected."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Annotated, Final, Literal

from pydantic import Field

from buildsheet.actions.bench.steps import Answer, key_reused, may_go_on
from buildsheet.actions.bench.view import BenchView, bench_of_serial
from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.bench.codes import found
from buildsheet.bench.document import Key, Member, Person
from buildsheet.bench.stations.labels import listed
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.form import read
from buildsheet.documents.kind import Kind
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.states import wheel_after
from buildsheet.storage import bench, events, wheels
from buildsheet.storage.bench import StoredPass, StoredSignature
from buildsheet.storage.database import Section

SIGNATURE: Final = Kind("a signature", "data", DOCUMENT_CODES)
NEEDED: Final = ("rim-gate", "kit", "first-spoke", "half-way")
LEAST_REASON: Final = 10
"""Characters of a reason: a word is none."""


class SignDocument(Member):
    """``number`` is the pass that is signed; a reason is needed with a remark."""

    key: Key
    issue: Annotated[str, Field(pattern=r"^[A-Z]{1,2}$")]
    by: Person
    number: Annotated[int, Field(ge=1, le=1000)]
    verdict: Literal["pass", "pass-with-remark"]
    reason: Annotated[str, Field(max_length=500)] = ""


def sign(workshop: Workshop, serial: str, raw: bytes) -> Answer:
    """The signature under one pass; refused with every reason at once.

    Raises WorldError where the file cannot be written.
    """
    given = read(raw, SignDocument, SIGNATURE)
    if given.document is None:
        return Answer("refused", given.findings)
    document = given.document
    with workshop.database.reading() as section:
        for each in bench.signatures_of(section, serial):
            if each.key == document.key:
                return _again(each, document)
    view = bench_of_serial(workshop, serial)
    if view is None:
        return Answer("unknown")
    said = in_stable_order([*may_go_on(view, document.issue), *_refusals(view, document)])
    if said:
        return Answer("kept", said, compact(_answer(view, document, said)))
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        if len(bench.passes_of(section, view.wheel.stored.serial)) == len(view.passes):
            return _keep(section, view, document, at)
    return sign(workshop, serial, raw)


def _again(before: StoredSignature, document: SignDocument) -> Answer:
    """The first answer to the very same signature; the issue is that of the pass."""
    said = (before.number, before.word, before.reason, before.signed_by)
    if said != (document.number, document.verdict, document.reason.strip(), document.by):
        return key_reused(f"the signature of {before.signed_by} under pass {before.number}")
    return Answer("replayed", answer=_said(before, "inspected"))


def _refusals(view: BenchView, document: SignDocument) -> list[Finding]:
    said: list[Finding] = []
    newest = view.passes[-1] if view.passes else None
    if newest is None or newest.number != document.number:
        there = f"pass {newest.number} is the newest" if newest else "nothing was read yet"
        says = f"Pass {document.number} cannot be signed: {there}."
        return [found("bench.sign", "block", "/number", says, have={"number": document.number})]
    if newest.issue != view.wheel.stored.sheet.issue:
        says = (
            f"Pass {newest.number} was read under issue {newest.issue}, which is void. Read again."
        )
        said.append(found("bench.sign", "block", "/number", says, have={"issue": newest.issue}))
    if newest.word != "pass" and not newest.may_remark:
        says = f"Pass {newest.number} is {newest.word}: no name makes it a pass. Mend it and read again."
        said.append(found("bench.sign", "block", "/number", says, have={"verdict": newest.word}))
    elif newest.word != "pass" and document.verdict != "pass-with-remark":
        says = f"Pass {newest.number} passes only with a remark: say why that is good enough."
        said.append(
            found("bench.sign", "block", "/verdict", says, need={"verdict": "pass-with-remark"})
        )
    if document.verdict == "pass-with-remark" and len(document.reason.strip()) < LEAST_REASON:
        says = f"A remark needs a reason of at least {LEAST_REASON} characters."
        said.append(found("bench.sign", "block", "/reason", says, need={"least": LEAST_REASON}))
    missing = [each for each in NEEDED if each not in view.done]
    if missing:
        says = f"Not recorded yet: {listed(missing)}. Record it first."
        need: list[Value] = [*missing]
        said.append(found("bench.step-order", "block", "/number", says, need={"first": need}))
    said.extend(_second_person(view, document))
    if document.verdict == "pass":
        said.extend(_over_limit(view, newest))
    if not missing and wheel_after(view.state, "inspect") is None:
        says = f"The wheel is {view.state}; nothing is inspected there."
        said.append(found("bench.step-order", "block", "", says, have={"state": view.state}))
    return said


def _second_person(view: BenchView, document: SignDocument) -> list[Finding]:
    """After so many re-trues, whoever turned the nipples does not judge alone."""
    retrues = sum(each.word == "rework" for each in view.passes)
    readers = {each.read_by.strip().casefold() for each in view.passes}
    if (
        retrues < view.task.house.bench.retrues_alone
        or document.by.strip().casefold() not in readers
    ):
        return []
    says = f"After {retrues} re-trues a second person signs; {document.by} read this wheel."
    return [found("bench.sign", "block", "/by", says, have={"retrues": retrues})]


def _over_limit(view: BenchView, newest: StoredPass) -> Iterator[Finding]:
    """What was read beyond the lowest maker's limit in a rim that is now to pass as it is.

    Slackening takes the force away and not what it did to the bed: whoever signs says what was seen there.
    """
    limit_n = view.task.limit_n
    for each in view.passes:
        if not _may_be_one_rim(each, newest):
            continue
        said = json.loads(each.answer)["findings"]
        tight = [one["have"] for one in said if one["code"] == "bench.above-stop"]
        worst = max(tight, key=lambda have: float(have["reads_n"]), default=None)
        if worst is None or worst["reads_n"] <= limit_n:
            continue
        says = (
            f"Pass {each.number} read hole {worst['hole']} at {worst['reads_n']:.0f} N, beyond the lowest "
            f"maker's limit of {limit_n:.0f} N. This rim passes only with a remark: have its bed looked at "
            "and say what was seen, or set it aside."
        )
        have: dict[str, Value] = {"pass": each.number, **worst}
        need: dict[str, Value] = {"verdict": "pass-with-remark", "limit_n": limit_n}
        yield found("bench.sign", "block", "/verdict", says, have=have, need=need)


def _may_be_one_rim(before: StoredPass, newest: StoredPass) -> bool:
    """Whether two passes may have been read on one rim: one that names none may be any."""
    rims = {json.loads(each.document).get("rim_serial") for each in (before, newest)}
    return len(rims - {None}) < 2


def _keep(section: Section, view: BenchView, document: SignDocument, at: str) -> Answer:
    serial = view.wheel.stored.serial
    signature = StoredSignature(
        serial,
        document.number,
        document.key,
        document.verdict,
        document.reason.strip(),
        document.by,
        at,
    )
    bench.insert_signature(section, signature)
    state = wheel_after(view.state, "inspect") or view.state
    wheels.move(section, serial, state)
    events.append(
        section,
        at=at,
        kind="wheel.inspected",
        order_id=view.wheel.stored.order_id,
        serial=serial,
        facts=json.dumps({"pass": document.number, "verdict": document.verdict}),
    )
    return Answer("kept", (), _said(signature, state))


def _said(signature: StoredSignature, state: str) -> str:
    return compact(
        {
            "serial": signature.serial,
            "pass": signature.number,
            "good": True,
            "verdict": signature.word,
            "state": state,
            "findings": [],
        }
    )


def _answer(view: BenchView, document: SignDocument, said: tuple[Finding, ...]) -> dict[str, Value]:
    return {
        "serial": view.wheel.stored.serial,
        "pass": document.number,
        "good": False,
        "verdict": view.passes[-1].word if view.passes else "not-judged",
        "state": view.state,
        "findings": [each.as_json() for each in said],
    }
