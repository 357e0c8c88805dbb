"""The as-built record of one wheel out of the file: stored words only, so it is the same every time."""

from __future__ import annotations

import json
from typing import Any, Final

from buildsheet.actions.bench.record_limits import limits_of
from buildsheet.actions.bench.view import BenchView, bench_of_serial
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.record import NOT_RECORDED, sealed
from buildsheet.bench.stations import STATIONS
from buildsheet.bench.task import Task
from buildsheet.findings import Value
from buildsheet.storage import bench
from buildsheet.storage.bench import StoredPass
from buildsheet.wheel.spec import SIDES

_OF_EVERY_STEP: Final = frozenset({"station", "key", "issue", "by"})


def record_of(workshop: Workshop, serial: str) -> dict[str, Value] | None:
    """The record's document, sealed; None for no such wheel.

    A wheel that nobody signed has a record that says so: it is no certificate.
    """
    view = bench_of_serial(workshop, serial)
    if view is None:
        return None
    with workshop.database.reading() as section:
        batches = bench.batches_of(section, view.wheel.stored.serial)
    return sealed(content(view, batches))


def content(view: BenchView, batches: tuple[tuple[str, str], ...]) -> dict[str, Value]:
    """Everything that is recorded of one wheel."""
    signed = view.signatures[-1] if view.signatures else None
    final = _signed_pass(view)
    against = no_certificate(view)
    stored, order = view.wheel.stored, view.wheel.order
    return {
        "workshop": view.edition.house.workshop,
        "serial": stored.serial,
        "position": stored.position,
        "verdict": signed.word if signed and not against else "not-judged",
        "certificate": not against,
        "no_certificate_because": [*against],
        "order": {
            "number": order.number,
            "source": order.source,
            "revision": stored.sheet.revision,
        },
        "sheet": {
            "issue": stored.sheet.issue,
            "issued_at": stored.sheet.issued_at,
            "fingerprint": stored.sheet.fingerprint,
            "void": [
                {"issue": each.issue, "void_at": each.void_at, "because": each.void_because}
                for each in view.wheel.sheets
                if each.void_at is not None
            ],
        },
        "edition": {"number": view.edition.number, "digest": view.edition.digest},
        "parts": _parts(view, batches),
        "planned": _planned(view),
        "measured": _measured(final) if final else NOT_RECORDED,
        "signed": {
            "pass": signed.number,
            "by": signed.signed_by,
            "at": signed.signed_at,
            "reason": signed.reason,
        }
        if signed
        else NOT_RECORDED,
        "passes": [_pass(each) for each in view.passes],
        "steps": [_station(view, name) for name in STATIONS],
        "people": [*_people(view)],
        "limits": limits_of(view),
    }


def no_certificate(view: BenchView) -> tuple[str, ...]:
    """Why nobody may rely on this record; () where somebody stands for the wheel as it is now."""
    if not view.signatures:
        return ("Not signed: nobody stands for this wheel.", *_not_good(view))
    number = view.signatures[-1].number
    signed = next(each for each in view.passes if each.number == number)
    in_force, newest = view.wheel.stored.sheet.issue, view.passes[-1]
    said: list[str] = []
    if signed.issue != in_force:
        said.append(
            f"Pass {number} was signed under issue {signed.issue}; issue {in_force} is in force."
        )
    if newest.number != number:
        said.append(f"Pass {newest.number} was read after pass {number} was signed.")
        said.extend(_not_good(view))
    return tuple(said)


def _not_good(view: BenchView) -> tuple[str, ...]:
    """What the newest pass amounts to where it is no pass: worse than a signature that is missing. And
    which one stops the wheel, where that is another."""
    if not view.passes or view.passes[-1].word.startswith("pass"):
        return ()
    newest = view.passes[-1]
    said = f"Its newest pass, {newest.number}, says {newest.word}."
    if view.stop is None or view.stop.number == newest.number:
        return (said,)
    return said, f"Pass {view.stop.number} says stop, and none since was judged."


def _signed_pass(view: BenchView) -> StoredPass | None:
    """The pass that was signed; the newest one where none was."""
    number = view.signatures[-1].number if view.signatures else len(view.passes)
    return next((each for each in view.passes if each.number == number), None)


def _parts(view: BenchView, batches: tuple[tuple[str, str], ...]) -> dict[str, Value]:
    plan = view.plan
    newest = dict(batches)
    lots: list[Value] = [name for kind, name in batches if kind == "part-batch"]
    return {
        "rim": {
            "code": plan.rim,
            "holes": plan.holes,
            "serial": newest.get("rim-serial", NOT_RECORDED),
            "batch": newest.get("rim-batch", NOT_RECORDED),
            "drilling": plan.drilling.program or NOT_RECORDED,
        },
        "hub": {
            "code": plan.hub,
            "serial": newest.get("hub-serial", NOT_RECORDED),
            "driver": plan.driver,
            "end_caps": plan.end_caps,
        },
        "spokes": {
            side: {
                "type": plan.spokes[side].type,
                "count": plan.spokes[side].count,
                "length_mm": plan.spokes[side].stock_mm,
                "crossings": plan.spokes[side].crossings,
            }
            for side in SIDES
        },
        "nipple": {"code": plan.nipple, "colour": plan.nipple_colour, "washer": plan.washer},
        "decals": [*view.stand.decals],
        "spares": [
            {"part": each.part, "count": each.spare} for each in plan.pick if each.spare > 0
        ],
        "batches": lots or NOT_RECORDED,
    }


def _planned(view: BenchView) -> dict[str, Value]:
    plan = view.plan
    return {
        "erd_mm": plan.erd_mm,
        "mass_g": plan.mass_g,
        "left_n": plan.tension.left_n,
        "right_n": plan.tension.right_n,
        "stop_n": plan.tension.stop_n,
        "ratio": plan.tension.ratio,
        "set_by": plan.tension.set_by,
        "target_mm": {side: plan.spokes[side].target_mm for side in SIDES},
        "tight_side": plan.tension.tight_side,
        "sides_by_hole": [*view.task.sides],
        "allowed": _allowed(view.task),
    }


def _allowed(task: Task) -> dict[str, Value]:
    """The workshop's tolerances, as the readings were judged by them."""
    sheet = task.house.sheet
    return {
        "band_percent": task.house.tension.band_percent,
        "mean_percent": task.house.bench.mean_percent,
        "ratio": task.house.tension.ratio_tolerance,
        "lateral_mm": sheet.lateral_mm,
        "radial_mm": sheet.radial_mm,
        "radial_joint_mm": sheet.radial_joint_mm,
        "dish_offset_mm": sheet.dish_offset_mm,
        "mass_percent": sheet.wheel_mass_percent,
    }


def _measured(final: StoredPass) -> dict[str, Value]:
    """Every final reading as typed, and in newtons."""
    typed: dict[str, Any] = json.loads(final.document)
    said: dict[str, Any] = json.loads(final.answer)
    members = ("lateral", "radial", "dish", "mass_g", "threads", "free_play", "twisted")
    return {
        "pass": final.number,
        "at": final.read_at,
        "by": final.read_by,
        "gauge": final.gauge or NOT_RECORDED,
        "gauge_tables": said["gauge_tables"],
        "gauge_error_share": said["gauge_error_share"],
        "tension_typed": typed.get("tension") or NOT_RECORDED,
        "tension_n": said["tension_n"],
        "sides": said["sides"] or NOT_RECORDED,
        "ratio": said["ratio"] if said["ratio"] is not None else NOT_RECORDED,
        **{name: NOT_RECORDED if typed.get(name) is None else typed[name] for name in members},
        "relief_rounds": NOT_RECORDED
        if typed.get("relief_rounds") is None
        else typed["relief_rounds"],
        "findings": [
            {"code": each["code"], "severity": each["severity"], "says": each["says"]}
            for each in said["findings"]
        ],
    }


def _pass(each: StoredPass) -> dict[str, Value]:
    said: dict[str, Any] = json.loads(each.answer)
    return {
        "number": each.number,
        "issue": each.issue,
        "at": each.read_at,
        "by": each.read_by,
        "gauge": each.gauge or NOT_RECORDED,
        "verdict": each.word,
        "tension_n": said["tension_n"],
        "prediction": said["prediction"],
    }


def _station(view: BenchView, name: str) -> dict[str, Value]:
    """The last good step at a station; what was never done says so."""
    good = [each for each in view.steps if each.station == name and each.good]
    if not good:
        return {"station": name, "done": NOT_RECORDED}
    last = good[-1]
    typed: dict[str, Value] = json.loads(last.document)
    said: dict[str, Value] = {each: typed[each] for each in typed if each not in _OF_EVERY_STEP}
    if name == "box" and (before := json.loads(last.answer).get("packed_before")):
        said["packed_before"] = before
    return {
        "station": name,
        "done": last.done_at,
        "by": last.done_by,
        "times": len(good),
        "said": said,
    }


def _people(view: BenchView) -> list[Value]:
    named = [each.done_by for each in view.steps]
    named += [each.read_by for each in view.passes]
    named += [each.signed_by for each in view.signatures]
    return [*sorted(set(named))]
