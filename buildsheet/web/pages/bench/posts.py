"""What is sent from the stand: a step, a pass, a signature, a new issue, a gauge's check.

A page with a script sends the very same forms; what was kept is answered with a way back to the page,
what was refused with the page itself.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from flask import Blueprint, abort, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.bench.gauges import check_gauge
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.reissue_document import read_reissue
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.bench.steps import Answer, take_step
from buildsheet.actions.bench.view import BenchView, bench_of_code
from buildsheet.bench.stations import STATIONS
from buildsheet.bench.stations.labels import GAUGE_CHECK, READINGS, SIGN
from buildsheet.findings import Finding
from buildsheet.web.access.who import visitor_here
from buildsheet.web.observing.counted import counted_here
from buildsheet.web.pages.bench.day import VERDICT
from buildsheet.web.pages.bench.meanwhile import since
from buildsheet.web.pages.bench.page import Refused, fields_of, known_keys, shown
from buildsheet.web.pages.bench.typed import as_sent, members, pass_document, step_document
from buildsheet.web.pages.whole_number import number_or_text
from buildsheet.web.workshop_here import workshop_here

Said = AnyResponse | str | tuple[str, int]


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.post("/w/<code>/<what>")(sent)


def sent(code: str, what: str) -> Said:
    """One form of the stand."""
    view = bench_of_code(workshop_here(), code)
    if view is None:
        abort(404)
    if what in STATIONS:
        document = step_document(what, fields_of(view, what), request.form)
        return _answered(view, what, take_step(workshop_here(), _serial(view), _raw(document)))
    if what == READINGS:
        fields, holes = fields_of(view, what), len(view.task.lacing)
        document = pass_document(fields, request.form, holes)
        answer = take_pass(workshop_here(), _serial(view), _raw(document))
        counted_here().reading(answer.outcome, answer.answer)
        return _answered(view, what, answer)
    if what == SIGN:
        return _signed(view)
    if what == "reissue":
        return _issued_again(view)
    if what == "newer":
        return _issued_under_newer(view)
    if what != GAUGE_CHECK:
        abort(404)
    return _checked(view)


def _signed(view: BenchView) -> Said:
    document = {
        **{name: request.form.get(name, "") for name in ("key", "issue")},
        "number": number_or_text(request.form.get("number", "")),
        **members(fields_of(view, SIGN), request.form),
    }
    answer = sign(workshop_here(), _serial(view), _raw(document))
    if answer.outcome == "kept" and answer.findings:
        # A signature that is refused leaves nothing behind.
        return _refused(view, SIGN, answer.findings)
    return _answered(view, SIGN, answer)


def _issued_again(view: BenchView) -> Said:
    if not view.in_force:  # somebody else was quicker: another new issue would void theirs unseen
        return shown(view), 409
    given = read_reissue(_raw(members(fields_of(view, "reissue"), request.form)))
    if given.document is None:
        return _refused(view, "reissue", given.findings)
    wanted = given.document
    made = reissue(
        workshop_here(),
        _serial(view),
        because=wanted.because,
        erd_mm=wanted.erd_mm,
        by=wanted.by,
    )
    if made is None:
        abort(404)
    if made.sheet is None:
        return _refused(view, "reissue", made.findings)
    return redirect(url_for("pages.bench_page", code=made.sheet.code), 303)


def _issued_under_newer(view: BenchView) -> Said:
    """The sheet again under the edition that lowered a limit of this wheel."""
    if not view.in_force or view.lowered is None:
        return redirect(url_for("pages.bench_page", code=view.wheel.stored.sheet.code), 303)
    number = view.lowered.edition
    because = f"edition {number} lowers the stop value to {view.lowered.stop_n:.0f} N"
    asked = {"by": request.form.get("by", "").strip(), "because": because, "edition": number}
    given = read_reissue(_raw(asked))
    if given.document is None:
        return _refused(view, "reissue", given.findings)
    made = reissue(
        workshop_here(), _serial(view), because=because, edition=number, by=given.document.by
    )
    if made is None:
        abort(404)
    if made.sheet is None:
        return _refused(view, "reissue", made.findings)
    return redirect(url_for("pages.bench_page", code=made.sheet.code), 303)


def _checked(view: BenchView) -> Said:
    kept = check_gauge(workshop_here(), _raw(members(fields_of(view, GAUGE_CHECK), request.form)))
    if kept.new is None:
        return _refused(view, GAUGE_CHECK, kept.findings)
    return redirect(url_for("pages.bench_page", code=view.scanned.code), 303)


def _answered(view: BenchView, what: str, answer: Answer) -> Said:
    if answer.outcome == "unknown":
        abort(404)
    if answer.outcome == "refused":
        return _refused(view, what, answer.findings)
    key, seen = request.form.get("key", ""), request.form.get("seen", "")
    do = VERDICT if what == READINGS else None
    return redirect(
        url_for(
            "pages.bench_page",
            code=view.scanned.code,
            after=key,
            do=do,
            seen=seen if since(view, seen, key) else None,
        ),
        303,
    )


def _refused(view: BenchView, what: str, findings: tuple[Finding, ...]) -> tuple[str, int]:
    asked = VERDICT if what == SIGN else "rim-gate" if what == "reissue" else what
    key = request.form.get("key", "")
    key = "" if key in known_keys(view) else key
    refused = Refused(what, as_sent(request.form), findings, key)
    return shown(view, asked=asked, refused=refused, seen=request.form.get("seen", "")), 422


def _serial(view: BenchView) -> str:
    return view.wheel.stored.serial


def _raw(document: Mapping[str, Any]) -> bytes:
    """The document; whoever is signed in stands for it, whatever was typed."""
    visitor = visitor_here()
    if visitor is not None:
        document = {**document, "by": visitor.name}
    return json.dumps(document).encode("utf-8", "surrogatepass")
