"""What a sheet's code opens at the stand: the thing to do now on top, the wheel below it."""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from flask import Blueprint, Response, abort, render_template, request

from buildsheet.actions.bench.box import box_of
from buildsheet.actions.bench.view import BenchView, bench_of_code
from buildsheet.actions.plan_record import compact
from buildsheet.actions.stock.held_anew import kit_lacks
from buildsheet.bench.advice import make_ready
from buildsheet.bench.figures import both_sides
from buildsheet.bench.stations import STATIONS
from buildsheet.bench.stations.labels import GAUGE_CHECK, READINGS, called
from buildsheet.findings import Finding
from buildsheet.web.api.bodies import json_answer
from buildsheet.web.pages.bench.curves import script_data
from buildsheet.web.pages.bench.day import VERDICT, counts, doing, says, stopped_at, the_day
from buildsheet.web.pages.bench.drawing import WORDS, Drawing, draw
from buildsheet.web.pages.bench.field import Field, Values
from buildsheet.web.pages.bench.meanwhile import before_own, seen_of, since
from buildsheet.web.pages.bench.other_forms import check_fields, reissue_fields, sign_fields
from buildsheet.web.pages.bench.reading_form import Card, reading_cards
from buildsheet.web.pages.bench.station_forms import station_fields
from buildsheet.web.pages.bench.typed import from_document
from buildsheet.web.pages.bench.verdict import VerdictSaid, verdict_said
from buildsheet.web.workshop_here import workshop_here
from buildsheet.wheel.spec import Sides

KEY_BYTES = 18


@dataclass(frozen=True, slots=True)
class Refused:
    """A form that was refused: what it was about, what was typed, and why."""

    what: str
    values: Values
    findings: tuple[Finding, ...]
    key: str = ""

    @property
    def marks(self) -> dict[str, str]:
        """Name of an input -> what is wrong there."""
        return {each.at.strip("/").replace("/", "."): each.says for each in self.findings}


@dataclass(frozen=True, slots=True)
class Form:
    """One form of the page; ``what`` is the end of its address."""

    what: str
    fields: tuple[Field, ...]
    values: Values
    key: str
    cards: tuple[Card, ...] = ()
    marks: Mapping[str, str] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/w/<code>")(bench_page)
    blueprint.get("/w/<code>/state")(bench_state)


def bench_page(code: str) -> str | tuple[str, int]:
    """The wheel that a code was printed for; ``do`` asks for another station than the next one."""
    view = bench_of_code(workshop_here(), code)
    if view is None:
        return render_template("no_sheet.html"), 404
    return shown(
        view,
        asked=request.args.get("do"),
        after=request.args.get("after", ""),
        seen=request.args.get("seen", ""),
        complete=request.args.get("from") == "last",
    )


def bench_state(code: str) -> Response:
    """Whether the sheet still counts, and what was done since a page of it was made: what an open page
    asks now and then."""
    view = bench_of_code(workshop_here(), code)
    if view is None:
        abort(404)
    stored = view.wheel.stored
    return json_answer(
        compact(
            {
                "serial": stored.serial,
                "issue": view.scanned.issue,
                "in_force": view.in_force,
                "stops": stops(view),
                "state": stored.state,
                "next": view.next_thing,
                "meanwhile": [
                    {"what": each.what, "by": each.by, "at": each.at}
                    for each in since(view, request.args.get("seen", ""))
                ],
            }
        )
    )


def stops(view: BenchView) -> bool:
    """Whether nothing may be done to the wheel now: its order waits, a limit was lowered, or nobody asks
    for it."""
    return view.waits or view.lowered is not None or view.state in ("cancelled", "stock")


def known_keys(view: BenchView) -> list[str]:
    """The keys of everything kept of this wheel: what a device need not send again."""
    return [
        *(each.key for each in view.steps),
        *(each.key for each in view.passes),
        *(each.key for each in view.signatures),
    ]


def shown(
    view: BenchView,
    asked: str | None = None,
    after: str = "",
    refused: Refused | None = None,
    *,
    seen: str = "",
    complete: bool = False,
) -> str:
    """The page. ``after`` is the key of what was just kept, ``seen`` the mark of the page that it was sent
    from, where others did something meanwhile; ``complete`` begins a pass with the readings of
    the one before, which something was missing from."""
    if not view.in_force:
        return render_template("bench/void.html", view=view, keys=known_keys(view))
    now = (
        refused.what if refused and refused.what not in ("sign", "reissue") else doing(view, asked)
    )
    verdict = verdict_said(view)
    return render_template(
        "bench/page.html",
        view=view,
        plan=view.plan,
        sheet=view.scanned,
        stops=stops(view),
        stopped_at=stopped_at(view),
        now=now,
        says=says(now),
        day=the_day(view, now),
        keys=known_keys(view),
        forms=_forms(view, now, verdict, refused, complete=complete),
        complete=complete,
        refused_findings=refused.findings if refused else (),
        told=told(view, now, after),
        seen=seen_of(view),
        meanwhile=since(view, seen, refused.key) if refused else before_own(view, seen, after),
        refused=refused is not None,
        lacks=_lacks(view, now),
        verdict=verdict,
        verdict_counts=counts(view),
        since=_since(view),
        drawing=_drawing(view, now),
        mark_words=WORDS,
        data=script_data(view, workshop_here().clock().date()),
    )


def _since(view: BenchView) -> dict[str, Any] | None:
    """The answer to a reading after the one that stops the wheel: it could not be judged."""
    if view.stop is None or view.stop.number == view.passes[-1].number:
        return None
    since: dict[str, Any] = json.loads(view.passes[-1].answer)
    return since


def _lacks(view: BenchView, now: str) -> tuple[Finding, ...]:
    """What the shelf lacks for the kit, before anybody goes there."""
    if now not in ("rim-gate", "kit") or view.state != "planned":
        return ()
    return kit_lacks(workshop_here(), view.wheel.stored, view.plan)


def told(view: BenchView, now: str, after: str) -> dict[str, Any] | None:
    """What the step said that was just kept, or the last one of this station where it was not passed."""
    for each in view.steps:
        if after and each.key == after:
            return {**json.loads(each.answer), "by": each.done_by, "label": called(each.station)}
    failed = _failed(view, now)
    return None if failed is None else {**failed.answer, "by": failed.by, "label": called(now)}


@dataclass(frozen=True, slots=True)
class Failed:
    """A step that was not passed: what was sent, and what was said."""

    issue: str
    by: str
    document: str
    answer: dict[str, Any]


def _failed(view: BenchView, station: str) -> Failed | None:
    """The last step of this station, where it was not passed."""
    of_station = [each for each in view.steps if each.station == station]
    if not of_station or of_station[-1].good:
        return None
    last = of_station[-1]
    return Failed(last.issue, last.done_by, last.document, json.loads(last.answer))


def _forms(
    view: BenchView,
    now: str,
    verdict: VerdictSaid | None,
    refused: Refused | None,
    *,
    complete: bool,
) -> dict[str, Form]:
    """The forms of the page by what they are about."""
    forms: dict[str, Form] = {}
    if now == READINGS:
        make_ready(view.task)
        cards = reading_cards(view)
        values = _last_pass(view, whole=complete)
        forms[now] = _form(now, fields_of(view, now), values, refused, cards)
    elif now == VERDICT:
        if verdict is not None and verdict.may_sign and counts(view):
            forms["sign"] = _form("sign", sign_fields(verdict), {}, refused)
    elif now in STATIONS or now == GAUGE_CHECK:
        fields = fields_of(view, now)
        forms[now] = _form(now, fields, _again(view, now, fields), refused)
    if now == "rim-gate":
        erd_mm = erd_off(view)
        if erd_mm is not None:
            values = {"erd_mm": (f"{erd_mm:g}",), "because": (f"rim measured {erd_mm:.1f} mm",)}
            forms["reissue"] = _form("reissue", reissue_fields(), values, refused)
    return forms


def _form(
    what: str,
    fields: Sequence[Field],
    values: Values,
    refused: Refused | None,
    cards: tuple[Card, ...] = (),
) -> Form:
    if refused is None or refused.what != what:
        return Form(what, tuple(fields), values, secrets.token_urlsafe(KEY_BYTES), cards)
    # The same key again, unless something else was kept under it: then Refused has none.
    key = refused.key or secrets.token_urlsafe(KEY_BYTES)
    return Form(what, tuple(fields), refused.values, key, cards, refused.marks, refused.findings)


def fields_of(view: BenchView, what: str) -> tuple[Field, ...]:
    """The fields of one form. Raises KeyError for what there is no form for."""
    if what == READINGS:
        return tuple(each for card in reading_cards(view) for each in card.fields)
    if what == "sign":
        verdict = verdict_said(view)
        return sign_fields(verdict) if verdict else ()
    if what == "reissue":
        return reissue_fields()
    if what == GAUGE_CHECK:
        return check_fields(view)
    return station_fields(view, what, box_of(workshop_here(), view) if what == "box" else None)


def _again(view: BenchView, station: str, fields: Sequence[Field]) -> Values:
    """What a station's form begins with: what was typed where it was not passed."""
    failed = _failed(view, station)
    if failed is not None:
        return from_document(failed.document, fields)
    if station == "relief":
        rounds = sum(each.station == "relief" and each.good for each in view.steps)
        return {"round": (f"{rounds + 1}",)}
    return {}


_STAYS = ("by", "rim_serial", "hub_serial", "tension.gauge", "tension.unit")
_CONVENTIONS = ("lateral.given_as", "radial.given_as", "dish.given_as")


def _last_pass(view: BenchView, *, whole: bool) -> Values:
    """What stays from one pass to the next: who, gauge, unit, serials, conventions; never a reading, unless
    the pass before was not judged and is completed as a ``whole``."""
    if not view.passes:
        return {}
    before = from_document(view.passes[-1].document, ())
    if whole and counts(view) and view.passes[-1].word == "not-judged":
        return before
    return {name: before[name] for name in (*_STAYS, *_CONVENTIONS) if name in before}


def erd_off(view: BenchView) -> float | None:
    """The rim's measured ERD where the last rim gate computed lengths for it; else None."""
    failed = _failed(view, "rim-gate")
    if failed is None or failed.issue != view.task.issue:
        return None
    for each in failed.answer["findings"]:
        if each["code"] == "bench.erd-off" and "left_mm" in each["need"]:
            return float(each["have"]["erd_mm"])
    return None


def _drawing(view: BenchView, now: str) -> Drawing:
    """The newest readings, against each side's mean; empty while a pass is typed."""
    read = view.stop or (view.passes[-1] if counts(view) else None)
    if now == READINGS or read is None:
        return draw(view.task, None, None)
    forces = tuple(json.loads(read.answer)["tension_n"])
    if len(forces) != len(view.task.lacing):
        return draw(view.task, None, None)
    sides = both_sides(view.task, forces)
    means = None if sides is None else Sides(sides.left.mean_n, sides.right.mean_n)
    return draw(view.task, forces, means)
