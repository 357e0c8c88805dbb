"""Wheels at the bench: steps and passes as sent, as answered, as told in events; records that seal."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from buildsheet.actions.audit.notes import Notes
from buildsheet.actions.bench.record import record_of
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.record import faults
from buildsheet.bench.stations.labels import called
from buildsheet.errors import WorldError
from buildsheet.storage import bench, proof
from buildsheet.storage.bench import StoredPass, StoredSignature, StoredStep
from buildsheet.storage.database import Section

Told = frozenset[tuple[str, str, int, str]]
"""(kind of event, serial, pass, verdict)."""


def bench_again(section: Section, notes: Notes) -> tuple[str, ...]:
    """Serials of every wheel with something done at the bench, each looked through."""
    told = frozenset(_told(section))
    notes.saw("steps", 0)
    notes.saw("passes", 0)
    serials = proof.at_the_bench(section)
    for serial in serials:
        steps = bench.steps_of(section, serial)
        passes = bench.passes_of(section, serial)
        signatures = bench.signatures_of(section, serial)
        notes.saw("steps", len(steps))
        notes.saw("passes", len(passes))
        for step in steps:
            for says in _step(step):
                notes.fault("steps", f"{serial} {called(step.station)}", says)
        if [each.number for each in passes] != [*range(1, len(passes) + 1)]:
            notes.fault("passes", serial, "its passes are not numbered 1, 2, 3 ...")
        for each in passes:
            for says in _pass(each, told):
                notes.fault("passes", f"{serial} pass {each.number}", says)
        numbered = {each.number: each for each in passes}
        for signature in signatures:
            for says in _signature(signature, numbered.get(signature.number), told):
                notes.fault("passes", f"{serial} pass {signature.number}", says)
    return serials


def records_again(workshop: Workshop, notes: Notes, serials: tuple[str, ...]) -> None:
    """A record of every wheel that was worked at: it can be put together, as JSON, and its seal holds."""
    notes.saw("records", 0)
    for serial in serials:
        notes.saw("records")
        try:
            made = record_of(workshop, serial)
            said = faults(json.loads(json.dumps(made, allow_nan=False)))
        except (WorldError, LookupError, ValueError, TypeError) as trouble:
            said = (f"no record can be made of it: {trouble}",)
        for says in said:
            notes.fault("records", serial, says)


def _told(section: Section) -> Iterator[tuple[str, str, int, str]]:
    for kind, serial, facts in proof.told_of_passes(section):
        said = _object(facts)
        if isinstance(said.get("pass"), int):
            yield kind, serial, said["pass"], str(said.get("verdict"))


def _object(text: str) -> dict[str, Any]:
    """A JSON object; empty where the text is none."""
    try:
        said = json.loads(text)
    except ValueError:
        return {}
    return said if isinstance(said, dict) else {}


def _step(step: StoredStep) -> Iterator[str]:
    sent, answer = _object(step.document), _object(step.answer)
    if (sent.get("station"), sent.get("key")) != (step.station, step.key):
        yield "its document is not that of this step"
    if sent.get("by") != step.done_by:
        yield f"its document was sent by {sent.get('by')!r}, it stands under {step.done_by!r}"
    if answer.get("good") is not step.good:
        yield "its answer says another outcome"


def _pass(each: StoredPass, told: Told) -> Iterator[str]:
    sent, answer = _object(each.document), _object(each.answer)
    if (sent.get("key"), sent.get("issue")) != (each.key, each.issue):
        yield "its document is not that of this pass"
    if sent.get("by") != each.read_by:
        yield f"its document was sent by {sent.get('by')!r}, it stands under {each.read_by!r}"
    named = (answer.get("serial"), answer.get("pass"), answer.get("issue"))
    if named != (each.serial, each.number, each.issue):
        yield "its answer is not that of this pass"
    if answer.get("verdict") != each.word:
        yield f"its answer says {answer.get('verdict')!r}, it stands as {each.word!r}"
    if ("wheel.read", each.serial, each.number, each.word) not in told:
        yield f"no event says that it was read as {each.word!r}"


def _signature(signature: StoredSignature, signed: StoredPass | None, told: Told) -> Iterator[str]:
    if signed is not None and not _may_be_signed(signature, signed):
        yield f"it is signed as {signature.word!r}, and was judged {signed.word!r}"
    key = ("wheel.inspected", signature.serial, signature.number, signature.word)
    if key not in told:
        yield f"no event says that it was signed as {signature.word!r}"


def _may_be_signed(signature: StoredSignature, signed: StoredPass) -> bool:
    """A good pass, or one that a remark can cover and does."""
    if signature.word == "pass-with-remark":
        return signed.word == "pass" or signed.may_remark
    return signed.word == signature.word == "pass"
