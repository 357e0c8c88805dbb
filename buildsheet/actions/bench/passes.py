"""A pass of readings: judged and advised in one answer, kept for good, never twice."""

from __future__ import annotations

import json

from buildsheet.actions.bench.elsewhere import elsewhere
from buildsheet.actions.bench.gauges import day_finding
from buildsheet.actions.bench.steps import Answer, again, may_go_on
from buildsheet.actions.bench.the_order import begun
from buildsheet.actions.bench.view import BenchView, bench_of_serial
from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.bench.advice import Advice, Predicted, Prediction, advice, how_good, nothing
from buildsheet.bench.document import READINGS, PassDocument
from buildsheet.bench.hints import laced_otherwise
from buildsheet.bench.verdict import Verdict, judge
from buildsheet.documents.form import read
from buildsheet.findings import Value
from buildsheet.storage import bench, events, wheels
from buildsheet.storage.bench import StoredPass
from buildsheet.storage.database import Section


def take_pass(workshop: Workshop, serial: str, raw: bytes) -> Answer:
    """Verdict, advice, and how good the last advice was, for one pass.

    A pass under a void sheet is kept and not judged. Raises WorldError where the file cannot be written.
    """
    given = read(raw, PassDocument, READINGS)
    if given.document is None:
        return Answer("refused", given.findings)
    document, text = given.document, raw.decode("utf-8")
    view = bench_of_serial(workshop, serial)
    if view is None:
        return Answer("unknown")
    moment = workshop.clock()
    gauge = document.tension.gauge if document.tension else ""
    with workshop.database.reading() as section:
        before = bench.pass_by_key(section, view.wheel.stored.serial, document.key)
        if before is not None:
            return _again(before, text)
        of_the_day = day_finding(section, gauge, moment.date()) if gauge else ()
        moved = tuple(elsewhere(section, view.wheel.stored.serial, document))
    held = tuple(each for each in may_go_on(view, document.issue) if each.at != "/issue")
    retrues = sum(each.word == "rework" for each in view.passes)
    verdict = judge(
        view.task,
        document.as_pass(),
        view.tables,
        moment.date(),
        earlier=retrues,
        of_the_day=(*of_the_day, *held, *moved),
    )
    turn = _advice(view, document, verdict)
    good = _prediction(view, document, verdict)
    at = stamp(moment)
    with workshop.database.writing() as section:
        before = bench.pass_by_key(section, view.wheel.stored.serial, document.key)
        if before is not None:
            return _again(before, text)
        if not _overtaken(section, view):
            answer = _keep(section, view, document, text, verdict, turn, good, at)
            return Answer("kept", verdict.findings, answer)
    return take_pass(workshop, serial, raw)


def _advice(view: BenchView, document: PassDocument, verdict: Verdict) -> Advice:
    """What to turn next. Nothing, where spokes were too tight and this pass does not show them all: what
    it leaves out may be what was not slackened."""
    if view.stop is not None and verdict.word == "not-judged":
        return nothing(
            f"Reading no. {view.stop.number} found a spoke too tight: slacken what it says, then read "
            "every spoke."
        )
    return advice(
        view.task,
        document.as_pass(),
        verdict.evidence,
        wrong_ratio=_laced_otherwise(view, document, verdict),
    )


def _laced_otherwise(view: BenchView, document: PassDocument, verdict: Verdict) -> bool:
    """Whether the sides stand as this wheel cannot, whatever its dish: then truing mends nothing."""
    if verdict.ratio is None:
        return False
    return laced_otherwise(view.task, verdict.ratio, document.as_pass().dish)


def _again(before: StoredPass, text: str) -> Answer:
    return again(before.document, text, before.answer, f"pass {before.number} of {before.read_at}")


def _overtaken(section: Section, view: BenchView) -> bool:
    """Whether the sheet or the passes changed since the look."""
    now = wheels.by_serial(section, view.wheel.stored.serial)
    read_by_now = len(bench.passes_of(section, view.wheel.stored.serial))
    return (
        now is None
        or now.sheet.issue != view.wheel.stored.sheet.issue
        or read_by_now != len(view.passes)
    )


def _prediction(view: BenchView, document: PassDocument, verdict: Verdict) -> Prediction | None:
    """This pass against what the advice of the one before promised."""
    if not view.passes or view.passes[-1].issue != document.issue:
        return None
    last = json.loads(view.passes[-1].answer)["advice"]["predicted"]
    if last is None or len(last["tension_n"]) != len(verdict.evidence.forces_n):
        return None
    predicted = Predicted(
        last["lateral_mm"], last["radial_mm"], last["dish_mm"], tuple(last["tension_n"])
    )
    return how_good(predicted, document.as_pass(), verdict.evidence)


def _keep(
    section: Section,
    view: BenchView,
    document: PassDocument,
    text: str,
    verdict: Verdict,
    turn: Advice,
    good: Prediction | None,
    at: str,
) -> str:
    serial, number = view.wheel.stored.serial, len(view.passes) + 1
    answer: dict[str, Value] = {
        "serial": serial,
        "pass": number,
        "issue": document.issue,
        **verdict.as_json(),
        "advice": turn.as_json(),
        "prediction": good.as_json() if good else None,
    }
    said = compact(answer)
    bench.insert_pass(
        section,
        StoredPass(
            serial=serial,
            number=number,
            issue=document.issue,
            key=document.key,
            gauge=document.tension.gauge if document.tension else "",
            word=verdict.word,
            may_remark=verdict.may_pass_with_remark,
            read_by=document.by,
            read_at=at,
            document=text,
            answer=said,
        ),
    )
    for kind, name in (("rim-serial", document.rim_serial), ("hub-serial", document.hub_serial)):
        if name and (kind, name) not in bench.batches_of(section, serial):
            bench.insert_batch(section, serial, kind, name, at)
    begun(section, view.wheel.stored.order_id, at, document.by)
    facts = json.dumps({"pass": number, "verdict": verdict.word})
    events.append(
        section,
        at=at,
        kind="wheel.read",
        order_id=view.wheel.stored.order_id,
        serial=serial,
        facts=facts,
    )
    return said


def truing(workshop: Workshop, serial: str) -> str | None:
    """The advice of the newest pass as JSON text, or of the one that stops the wheel; None for no such
    wheel."""
    view = bench_of_serial(workshop, serial)
    if view is None:
        return None
    if not view.passes:
        return compact({"serial": view.wheel.stored.serial, "pass": None, "advice": None})
    newest = json.loads((view.stop or view.passes[-1]).answer)
    return compact(
        {
            "serial": newest["serial"],
            "pass": newest["pass"],
            "verdict": newest["verdict"],
            "advice": newest["advice"],
            "prediction": newest["prediction"],
        }
    )
