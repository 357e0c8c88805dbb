"""The bench: steps at stations, passes of readings, signatures, what to turn next, gauges."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, Response, abort

from buildsheet.actions.bench import gauges
from buildsheet.actions.bench.passes import take_pass, truing
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.reissue_document import read_reissue
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.bench.steps import Answer, take_step
from buildsheet.actions.bench.view import bench_of_serial
from buildsheet.actions.plan_record import compact
from buildsheet.findings import Finding
from buildsheet.web.api.bodies import json_answer, order_body
from buildsheet.web.observing.counted import counted_here
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

UNREADABLE: Final = frozenset({"data.not-json", "data.not-utf8", "data.too-large", "data.too-deep"})


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/wheels/<serial>/bench")(standing)
    blueprint.post("/wheels/<serial>/steps")(steps)
    blueprint.post("/wheels/<serial>/readings")(readings)
    blueprint.post("/wheels/<serial>/sign")(signature)
    blueprint.post("/wheels/<serial>/reissue")(new_issue)
    blueprint.get("/wheels/<serial>/truing")(truing_plan)
    blueprint.get("/gauges")(list_gauges)
    blueprint.post("/gauges")(add_gauge)
    blueprint.post("/gauges/check")(gauge_check)


def standing(serial: str) -> Response:
    """The wheel at the stand: targets, what was done, what is next."""
    view = bench_of_serial(workshop_here(), serial)
    if view is None:
        abort(404)
    return json_answer(compact(view.as_json()))


def steps(serial: str) -> Response:
    """One step at a station."""
    return _answered(take_step(workshop_here(), serial, order_body()))


def readings(serial: str) -> Response:
    """One pass of readings: verdict and advice."""
    answer = take_pass(workshop_here(), serial, order_body())
    counted_here().reading(answer.outcome, answer.answer)
    return _answered(answer)


def signature(serial: str) -> Response:
    """Somebody stands for a pass."""
    return _answered(sign(workshop_here(), serial, order_body()))


def truing_plan(serial: str) -> Response:
    """What to turn next, from the newest pass."""
    text = truing(workshop_here(), serial)
    if text is None:
        abort(404)
    return json_answer(text)


def new_issue(serial: str) -> Response:
    """The sheet again, under another edition or for the rim as it was measured."""
    given = read_reissue(order_body())
    if given.document is None:
        return _refused(given.findings)
    wanted = given.document
    try:
        made = reissue(
            workshop_here(),
            serial,
            because=wanted.because,
            edition=wanted.edition,
            erd_mm=wanted.erd_mm,
            by=wanted.by,
        )
    except KeyError:
        abort(404)
    if made is None:
        abort(404)
    if made.sheet is None:
        return problem("issue-refused", "", made.findings)
    answer = {
        "serial": made.sheet.serial,
        "issue": made.sheet.issue,
        "edition": made.sheet.edition,
        "unchanged": made.unchanged,
        "findings": [each.as_json() for each in made.findings],
    }
    return json_answer(compact(answer), 200 if made.unchanged else 201)


def list_gauges() -> Response:
    """The newest calibration table of every gauge and spoke type."""
    tables = [
        {
            "gauge": each.gauge,
            "spoke": each.spoke,
            "version": each.version,
            "made_on": each.made_on.isoformat(),
            "due_on": each.due_on.isoformat(),
            "error_share": each.error_share,
            "marks": [{"shown": mark.shown, "force_n": mark.force_n} for mark in each.marks],
        }
        for each in gauges.list_tables(workshop_here())
    ]
    return json_answer(compact({"tables": tables}))


def add_gauge() -> Response:
    """A calibration table."""
    return _kept(gauges.add_table(workshop_here(), order_body()))


def gauge_check() -> Response:
    """A gauge's check of the day."""
    return _kept(gauges.check_gauge(workshop_here(), order_body()))


def _kept(kept: gauges.Kept) -> Response:
    if kept.new is None:
        return _refused(kept.findings)
    return json_answer(compact({"new": kept.new}), 201 if kept.new else 200)


def _answered(answer: Answer) -> Response:
    if answer.outcome == "unknown":
        abort(404)
    if answer.outcome == "refused":
        return _refused(answer.findings)
    response = json_answer(answer.answer, 201)
    if answer.outcome == "replayed":
        response.headers["Idempotent-Replay"] = "true"
    return response


def _refused(findings: tuple[Finding, ...]) -> Response:
    """A body that is no document at all, or a document that breaks its form."""
    if {each.code for each in findings} & UNREADABLE:
        return problem("bad-request", findings[0].says, findings)
    return problem("document-refused", "", findings)
