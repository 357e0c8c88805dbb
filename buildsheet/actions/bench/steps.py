"""A step at a station: read strictly, judged, kept whatever it amounts to, and the wheel moved on."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final, Literal

from buildsheet.actions.bench.box import box_list, box_of
from buildsheet.actions.bench.elsewhere import elsewhere
from buildsheet.actions.bench.the_order import begun, follow_the_wheels
from buildsheet.actions.bench.view import BenchView, bench_of_serial, counting
from buildsheet.actions.plan_record import compact
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.bench.codes import found
from buildsheet.bench.packing import Packed
from buildsheet.bench.stations import STATIONS, STEP, Station, StepDocument, still_missing
from buildsheet.bench.stations.kit import Kit
from buildsheet.bench.stations.labels import READINGS, SLACKEN, called, listed
from buildsheet.bench.stations.packing import Box, Pair, judge_box
from buildsheet.bench.stations.relief import Relief
from buildsheet.bench.stations.rim_gate import RimGate
from buildsheet.documents.form import read_members
from buildsheet.documents.text import parse
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.orders.reservation.need import pieces
from buildsheet.states import wheel_after
from buildsheet.storage import bench, events, wheels
from buildsheet.storage.bench import StoredStep
from buildsheet.storage.database import Section

Outcome = Literal["kept", "replayed", "refused", "unknown"]


@dataclass(frozen=True, slots=True)
class Answer:
    """``kept`` new, ``replayed`` the answer to the same key, ``refused`` for its form (nothing is kept),
    ``unknown`` where there is no such wheel or station. ``answer`` is JSON text."""

    outcome: Outcome
    findings: tuple[Finding, ...] = ()
    answer: str = ""


def take_step(workshop: Workshop, serial: str, raw: bytes) -> Answer:
    """One step from its document; its member ``station`` says which.

    Raises WorldError where the file cannot be written.
    """
    parsed = parse(raw, STEP)
    members: dict[str, Any] = dict(parsed.document or {})
    name = members.pop("station", None)
    station = STATIONS.get(name) if isinstance(name, str) else None
    if parsed.document is None or parsed.faults:
        return Answer("refused", in_stable_order([*parsed.faults.values()]))
    if station is None:
        says = f"Say which station: one of {', '.join(STATIONS)}."
        need: dict[str, Value] = {"one_of": [*STATIONS]}
        return Answer("refused", (STEP.fault("not-a-choice", "/station", says, need=need),))
    given = read_members(members, station.document, STEP)
    if given.document is None:
        return Answer("refused", given.findings)
    view = bench_of_serial(workshop, serial)
    if view is None:
        return Answer("unknown")
    return _keep(workshop, view, station, given.document, raw.decode("utf-8"))


def _keep(
    workshop: Workshop, view: BenchView, station: Station[Any], step: StepDocument, text: str
) -> Answer:
    serial, at = view.wheel.stored.serial, stamp(workshop.clock())
    with workshop.database.writing() as section:
        before = bench.step_by_key(section, serial, step.key)
        if before is not None:
            what = f"the step {called(before.station)} of {before.done_at}"
            return again(before.document, text, before.answer, what)
        now = wheels.by_serial(section, serial)
        overtaken = now is None or (now.state, now.sheet.issue) != (
            view.wheel.stored.state,
            view.wheel.stored.sheet.issue,
        )
        if not overtaken:
            return _judge_and_keep(section, view, station, step, text, at)
    # Somebody else moved the wheel between the look and the lock: look again.
    fresh = bench_of_serial(workshop, serial)
    return Answer("unknown") if fresh is None else _keep(workshop, fresh, station, step, text)


def again(before: str, now: str, answer: str, what: str) -> Answer:
    """What a document gets whose key was kept before: the first answer where it says the same, else a
    refusal. An old answer to other figures would be a verdict on readings that nobody looked at."""
    if json.loads(before) == json.loads(now):
        return Answer("replayed", answer=answer)
    return key_reused(what)


def key_reused(what: str) -> Answer:
    """The refusal of a key that ``what`` has already."""
    says = (
        f"This key belongs to {what}, which says something else. Nothing was kept of this one; "
        "send it under a key of its own."
    )
    return Answer("refused", (found("bench.key-reused", "block", "/key", says),))


def _judge_and_keep(
    section: Section,
    view: BenchView,
    station: Station[Any],
    step: StepDocument,
    text: str,
    at: str,
) -> Answer:
    serial = view.wheel.stored.serial
    said = in_stable_order(
        [
            *may_go_on(view, step.issue),
            *_order_of_steps(view, station),
            *_same_round(section, view, step),
            *station.judge(view.stand, step),
            *_of_the_order(section, view, step),
            *elsewhere(section, serial, step),
        ]
    )
    good = not any(each.blocks for each in said)
    state = view.state
    if good and station.move is not None:
        state = wheel_after(state, station.move) or state
        wheels.move(section, serial, state)
    answer: dict[str, Value] = {
        "serial": serial,
        "station": station.name,
        "good": good,
        "state": state,
        "findings": [each.as_json() for each in said],
    }
    if isinstance(step, Box):
        answer["packed_before"] = [each.as_json() for each in box_list(section, view).before]
    stored = StoredStep(
        serial, step.issue, station.name, step.key, good, step.by, at, text, compact(answer)
    )
    bench.insert_step(section, stored)
    if good:
        _record_batches(section, serial, step, at)
    if good:
        begun(section, view.wheel.stored.order_id, at, step.by)
    if good and station.move == "kit":
        holds.pick(section, serial, pieces(view.plan.pick), at=at, by=step.by)
    facts = json.dumps({"station": station.name, "good": good, "state": state})
    events.append(
        section,
        at=at,
        kind="wheel.step",
        order_id=view.wheel.stored.order_id,
        serial=serial,
        facts=facts,
    )
    if good and station.move == "ship":
        follow_the_wheels(section, view.wheel.stored.order_id, at, step.by)
    return Answer("kept", said, stored.answer)


def may_go_on(view: BenchView, issue: str) -> list[Finding]:
    """What stops any work on this wheel: a void sheet, an order that waits or is cancelled."""
    said: list[Finding] = []
    in_force = view.wheel.stored.sheet.issue
    if issue != in_force:
        said.append(
            found(
                "bench.sheet-void",
                "block",
                "/issue",
                f"Issue {issue} is void; issue {in_force} is in force. Stop, fetch the new sheet, and look "
                "what it changes before going on.",
                have={"issue": issue},
                need={"issue": in_force},
            )
        )
    lowered = view.lowered
    if lowered is not None:
        said.append(
            found(
                "bench.limit-lowered",
                "block",
                "",
                f"STOP. Edition {lowered.edition} lowers the stop value of this wheel from "
                f"{lowered.sheet_stop_n:.0f} N to {lowered.stop_n:.0f} N ({lowered.set_by}). Have the "
                "sheet issued again under that edition; the parts stay.",
                have={"stop_n": lowered.sheet_stop_n, "issue": in_force},
                need={"stop_n": lowered.stop_n, "edition": lowered.edition},
            )
        )
    if view.waits:
        says = "The order waits for an approval by name. Put the wheel aside until it has one."
        said.append(found("bench.order-waits", "block", "", says))
    if view.state in ("cancelled", "stock"):
        says = f"The wheel is {view.state}: no order asks for it. Put it aside."
        said.append(found("bench.order-waits", "block", "", says, have={"state": view.state}))
    return said


LEAVES: Final = frozenset({"finishing", "pair", "box", "ship"})
"""Stations on the wheel's way out of the house: no wheel that a reading stopped goes there."""


def _order_of_steps(view: BenchView, station: Station[Any]) -> list[Finding]:
    if view.stop is not None and station.name in LEAVES:
        says = (
            f"Reading no. {view.stop.number} found a spoke too tight. Slacken it, then read every spoke: "
            "until then the wheel goes no further."
        )
        first: list[Value] = [SLACKEN, READINGS]
        return [found("bench.step-order", "block", "/station", says, need={"first": first})]
    missing = still_missing(station, view.done)
    if missing:
        need: list[Value] = [*missing]
        says = f"{called(station.name)} comes after {listed(missing)}. Do that first."
        return [found("bench.step-order", "block", "/station", says, need={"first": need})]
    if station.move is not None and wheel_after(view.state, station.move) is None:
        says = f"The wheel is {view.state}; {called(station.name)} has no place there."
        return [found("bench.step-order", "block", "/station", says, have={"state": view.state})]
    return []


def _same_round(section: Section, view: BenchView, step: StepDocument) -> Iterator[Finding]:
    """A round of relief that is on record since the wheel was read last: told twice it is still one."""
    if not isinstance(step, Relief):
        return
    read_at = view.passes[-1].read_at if view.passes else ""
    steps = counting(bench.steps_of(section, view.wheel.stored.serial), view.restarts)
    done = [each for each in steps if each.station == "relief" and each.good]
    for each in done:
        if each.done_at > read_at and json.loads(each.document)["round"] == step.round:
            says = (
                f"Round {step.round} was recorded by {each.done_by} at {each.done_at}. If this was another "
                f"one, record it as round {len(done) + 1}."
            )
            have, need = {"round": step.round}, {"round": len(done) + 1}
            yield found("bench.step-order", "block", "/round", says, have=have, need=need)
            return


def packing_of(workshop: Workshop, view: BenchView) -> tuple[Packed, ...]:
    """Every line of the packing list of the wheel's order."""
    return box_of(workshop, view).lines


def _of_the_order(section: Section, view: BenchView, step: StepDocument) -> tuple[Finding, ...]:
    """What can only be judged with the other wheel in sight."""
    if isinstance(step, Box):
        box = box_list(section, view)
        return judge_box(box.labels, step, {each.label: each.serial for each in box.before})
    if not isinstance(step, Pair):
        return ()
    serial = view.wheel.stored.serial
    others = {each.serial for each in wheels.of_order(section, view.wheel.stored.order_id)}
    wanted = {serial: "/serial"} | dict.fromkeys(others - {serial}, "/other_serial")
    scanned = {"/serial": step.serial, "/other_serial": step.other_serial}
    return tuple(
        found(
            "bench.pair",
            "block",
            at,
            f"{scanned[at] or 'Nothing'} was scanned; this order's wheel is {number}. Do not pack them.",
            have={"serial": scanned[at]},
            need={"serial": number},
        )
        for number, at in wanted.items()
        if scanned[at] != number
    )


def _record_batches(section: Section, serial: str, step: StepDocument, at: str) -> None:
    if isinstance(step, RimGate):
        bench.insert_batch(section, serial, "rim-serial", step.rim_serial, at)
        bench.insert_batch(section, serial, "rim-batch", step.batch, at)
    if isinstance(step, Kit):
        for each in step.scanned:
            if each.batch:
                bench.insert_batch(section, serial, "part-batch", f"{each.part} {each.batch}", at)
