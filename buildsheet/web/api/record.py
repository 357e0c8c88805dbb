"""As-built records, and every wheel that has something in it."""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, request

from buildsheet.actions.answers import API
from buildsheet.actions.bench.find_wheels import WAYS, find_wheels
from buildsheet.actions.bench.print_record import record_pdf, record_tag
from buildsheet.actions.bench.record import record_of
from buildsheet.actions.plan_record import compact
from buildsheet.actions.print_sheet import PAPERS
from buildsheet.bench.record import canonical
from buildsheet.findings import Value
from buildsheet.web.api.bodies import JSON, json_answer
from buildsheet.web.workshop_here import workshop_here

WHAT: Final = r"^[^\s\x00-\x1f\x7f]([^\x00-\x1f\x7f]{0,78}[^\s\x00-\x1f\x7f])?$"
"""What wheels are found by: one line of up to 80 characters, nothing blank round it."""
SERIAL: Final = re.compile(r"W[0-9]{2}-[0-9]{5}-[A-Z]")
LIMIT: Final = re.compile(r"[1-9][0-9]{0,2}|1000")
"""How many wheels of a list are wanted, where not all of them are."""


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/wheels")(wheels_with)
    blueprint.get("/wheels/<serial>/record")(record)
    blueprint.get("/wheels/<serial>/record.pdf")(record_pdf_of)


def wheels_with() -> Response:
    """Every wheel with this batch, serial, gauge, person or edition: a recall in one step. A part of
    them only for whoever asks for one."""
    by, what = request.args.get("by", ""), request.args.get("what", "")
    before, limit = request.args.get("before"), request.args.get("limit")
    if by not in WAYS or re.fullmatch(WHAT, what) is None:
        abort(400)
    if before is not None and not SERIAL.fullmatch(before):
        abort(400)
    if limit is not None and not LIMIT.fullmatch(limit):
        abort(400)
    most = None if limit is None else int(limit)
    found = find_wheels(workshop_here(), by, what, before=before, most=most)
    following: str | None = None
    if len(found) == most:
        asked = urlencode({"by": by, "what": what, "limit": most, "before": found[-1].serial})
        following = f"{API}/wheels?{asked}"
    lines: list[Value] = [each.as_json() for each in found]
    return json_answer(compact({"by": by, "what": what, "wheels": lines, "next": following}))


def record(serial: str) -> Response:
    """The as-built record as it stands; its tag is its digest."""
    made = _record(serial)
    tag = str(made["digest"])
    if request.if_none_match.contains(tag):
        return _tagged(Response(status=304), tag)
    return _tagged(Response(canonical(made), mimetype=JSON), tag)


def record_pdf_of(serial: str) -> Response:
    """The record on paper: a page for the file and a page for the rider."""
    paper = request.args.get("paper", "a4").lower()
    if paper not in PAPERS:
        abort(400)
    made = _record(serial)
    tag = record_tag(made, paper)
    if request.if_none_match.contains(tag):
        return _tagged(Response(status=304), tag)
    response = Response(record_pdf(made, paper), mimetype="application/pdf")
    name = f"{made['serial']}-record.pdf"
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return _tagged(response, tag)


def _record(serial: str) -> dict[str, Value]:
    made = record_of(workshop_here(), serial)
    if made is None:
        abort(404)
    return made


def _tagged(response: Response, tag: str) -> Response:
    response.set_etag(tag)
    # Another step or pass changes the record under the same address.
    response.headers["Cache-Control"] = "private, no-cache"
    return response
