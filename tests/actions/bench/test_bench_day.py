"""A wheel's day at the stand: kept whatever it amounts to, moved on only where it is good."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from buildsheet.actions.bench import reissue as reissuing
from buildsheet.actions.bench.gauges import add_table, check_gauge, list_tables
from buildsheet.actions.bench.passes import take_pass, truing
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.bench.view import bench_of_code
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import bench, wheels
from tests.actions.bench.day import (
    pass_of,
    rim_gate,
    said,
    step,
    taken,
    until_lacing,
    view_of,
)
from tests.workshops import EXAMPLES, raw


def signed(workshop: Workshop, serial: str, **changes: object) -> dict[str, object]:
    document = {
        "key": "k-sign-0001",
        "issue": view_of(workshop, serial).task.issue,
        "by": "S. Second",
        "number": len(view_of(workshop, serial).passes) or 1,
        "verdict": "pass",
        **changes,
    }
    return said(sign(workshop, serial, raw(document)))


def test_the_day_of_the_demo_wheel_goes_from_the_rim_gate_to_the_carrier(stand: Workshop):
    serials = taken(stand)
    front = serials["front"]
    assert view_of(stand, front).next_thing == "rim-gate"
    until_lacing(stand, front)
    assert view_of(stand, front).state == "building"
    first = said(
        take_pass(stand, front, (EXAMPLES / "bench/D-1001-front-pass-1.json").read_bytes())
    )
    assert first["verdict"] == "stop"
    second = said(
        take_pass(stand, front, (EXAMPLES / "bench/D-1001-front-pass-2.json").read_bytes())
    )
    assert second["verdict"] == "pass"
    assert second["prediction"]["tension_rms_n"] > 0
    for number in (1, 2, 3):
        relieved = step(stand, front, "relief", round=number, before_n=1150, after_n=1140)
        assert relieved.findings == ()
    assert signed(stand, front)["state"] == "inspected"
    finishing = step(
        stand,
        front,
        "finishing",
        left_decal="LAGOON-S-L",
        right_decal="LAGOON-S-R",
        at_template=True,
        limits_readable=True,
        photos=["p-1", "p-2"],
    )
    assert finishing.findings == ()
    pair = step(stand, front, "pair", serial=front, other_serial=serials["rear"], same_finish=True)
    assert pair.findings == ()
    view = view_of(stand, front)
    assert (view.state, view.next_thing) == ("finished", "box")
    assert {"rim-serial", "rim-batch", "hub-serial"} <= {kind for kind, _ in batches(stand, front)}


@pytest.mark.parametrize("station", ["finishing", "pair", "box", "ship"])
def test_a_wheel_that_a_reading_stopped_goes_no_further(stand: Workshop, station: str):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    take_pass(stand, front, (EXAMPLES / "bench/D-1001-front-pass-1.json").read_bytes())
    members: dict[str, dict[str, object]] = {
        "pair": {"serial": front},
        "box": {"packed": []},
        "ship": {"carrier": "Post", "reference": "1"},
    }
    refused = step(stand, front, station, **members.get(station, {}))
    [finding] = [each for each in refused.findings if each.code == "bench.step-order"]
    assert finding.says.startswith("Reading no. 1 found a spoke too tight.")
    assert finding.need == {"first": ["slacken", "readings"]}
    assert step(stand, front, "relief", round=1, before_n=1150, after_n=1140).findings == ()


def test_a_round_of_relief_that_two_people_record_is_one(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    means = {"before_n": 1150, "after_n": 1140}
    assert step(stand, front, "relief", round=1, **means).findings == ()
    (finding,) = step(stand, front, "relief", round=1, by="P. Acker", **means).findings
    assert (finding.code, finding.at, finding.need) == ("bench.step-order", "/round", {"round": 2})
    assert finding.says.startswith("Round 1 was recorded by M. K. at 2031-05-01")
    assert view_of(stand, front).next_thing == "relief"
    # After the wheel was read again its rounds may be counted anew.
    later = replace(stand, clock=lambda: stand.clock() + timedelta(hours=1))
    take_pass(later, front, pass_of(stand, front))
    latest = replace(stand, clock=lambda: stand.clock() + timedelta(hours=2))
    assert step(latest, front, "relief", round=1, **means).findings == ()


def batches(workshop: Workshop, serial: str) -> tuple[tuple[str, str], ...]:
    with workshop.database.reading() as section:
        return bench.batches_of(section, serial)


def test_a_pass_sent_twice_is_kept_once_and_answered_the_same(stand: Workshop):
    front = taken(stand)["front"]
    document = pass_of(stand, front)
    first, again = take_pass(stand, front, document), take_pass(stand, front, document)
    assert (first.outcome, again.outcome) == ("kept", "replayed")
    assert first.answer == again.answer
    assert len(view_of(stand, front).passes) == 1


def test_a_step_sent_twice_is_kept_once(stand: Workshop):
    front = taken(stand)["front"]
    document = raw({"station": "rim-gate", "key": "k-00000001", "issue": "A", "by": "x",
                    "rim_serial": "R1", "batch": "L7"})  # fmt: skip
    from buildsheet.actions.bench.steps import take_step

    first, again = take_step(stand, front, document), take_step(stand, front, document)
    assert (first.outcome, again.outcome) == ("kept", "replayed")
    assert len(view_of(stand, front).steps) == 1


def test_a_step_that_comes_too_early_names_what_is_missing_and_moves_nothing(stand: Workshop):
    front = taken(stand)["front"]
    answer = said(step(stand, front, "half-way", as_picture=True, label_at_valve=True))
    assert (answer["good"], answer["state"]) == (False, "planned")
    assert answer["findings"][0]["code"] == "bench.step-order"
    assert answer["findings"][0]["says"] == (
        "Half-way gate comes after First spokes. Do that first."
    )
    assert answer["findings"][0]["need"] == {"first": ["first-spoke"]}
    sent_off = said(step(stand, front, "ship", carrier="C", reference="R"))
    assert sent_off["findings"][0]["says"] == "Hand-over comes after Box. Do that first."


def test_a_signature_that_comes_too_early_names_the_stations_as_the_pages_do(stand: Workshop):
    front = taken(stand)["front"]
    take_pass(stand, front, pass_of(stand, front))
    says = signed(stand, front)["findings"][0]["says"]  # type: ignore[index]
    assert says == (
        "Not recorded yet: Rim gate, Kit check, First spokes and Half-way gate. Record it first."
    )


def test_a_gauge_without_its_check_of_the_day_is_a_caution_and_a_failed_one_judges_nothing(
    stand: Workshop,
):
    front = taken(stand)["front"]
    tomorrow = replace(stand, clock=lambda: stand.clock().replace(day=2))
    unchecked = said(take_pass(tomorrow, front, pass_of(stand, front)))
    assert unchecked["verdict"] == "pass"
    assert [each["code"] for each in unchecked["findings"]] == ["bench.gauge-day"]
    check_gauge(tomorrow, b'{"gauge": "G1", "good": false, "by": "M. K."}')
    failed = said(take_pass(tomorrow, front, pass_of(stand, front, "k-pass-0002")))
    assert failed["verdict"] == "not-judged"


def test_a_gauge_that_failed_is_set_aside_until_somebody_says_what_was_done(stand: Workshop):
    front = taken(stand)["front"]
    failed = {"gauge": "G1", "good": False, "note": "0.4 off the rod", "by": "M. K."}
    assert check_gauge(stand, raw(failed)).new
    for note in ("", "  ok  now "):
        again = check_gauge(stand, raw({"gauge": "G1", "good": True, "note": note, "by": "M. K."}))
        assert again.new is None
        assert [(each.code, each.at) for each in again.findings] == [("bench.gauge-day", "/note")]
        assert "0.4 off the rod" in again.findings[0].says
    assert said(take_pass(stand, front, pass_of(stand, front)))["verdict"] == "not-judged"
    # A new day makes a broken gauge no better.
    tomorrow = replace(stand, clock=lambda: stand.clock().replace(day=2))
    late = said(take_pass(tomorrow, front, pass_of(stand, front, "k-pass-0002")))
    assert late["verdict"] == "not-judged"
    assert "failed its check of 2031-05-01" in late["findings"][0]["says"]
    mended = {"gauge": "G1", "good": True, "note": "Spring cleaned, rod agrees.", "by": "M. K."}
    assert check_gauge(tomorrow, raw(mended)).new
    good = said(take_pass(tomorrow, front, pass_of(stand, front, "k-pass-0003")))
    assert (good["verdict"], good["findings"]) == ("pass", [])
    # The day of the failure stays what it was.
    same_day = said(take_pass(stand, front, pass_of(stand, front, "k-pass-0004")))
    assert same_day["verdict"] == "not-judged"


def test_the_table_that_was_made_last_counts_whenever_it_was_added(stand: Workshop):
    def counting() -> str:
        return next(
            each.version
            for each in list_tables(stand)
            if (each.gauge, each.spoke) == ("G1", "SJB9")
        )

    first = next(
        each
        for each in json.loads((EXAMPLES / "bench/gauges/G1.json").read_text("utf-8"))
        if each["spoke"] == "SJB9"
    )
    older = {**first, "version": "found-later", "made_on": "2025-01-02", "due_on": "2032-01-01"}
    assert add_table(stand, raw(older)).new
    assert counting() == first["version"]
    same_day = {**first, "version": "same-day"}
    assert add_table(stand, raw(same_day)).new
    assert counting() == "same-day"
    newer = {**first, "version": "newer", "made_on": "2031-05-01", "due_on": "2032-05-01"}
    assert add_table(stand, raw(newer)).new
    assert counting() == "newer"


def test_a_table_from_a_day_to_come_is_a_slip(stand: Workshop):
    table = json.loads((EXAMPLES / "bench/gauges/G1.json").read_text("utf-8"))[0]
    slip = {**table, "version": "v99", "made_on": "2041-05-01", "due_on": "2042-05-01"}
    refused = add_table(stand, raw(slip))
    assert [(each.code, each.at) for each in refused.findings] == [
        ("bench.gauge-marks", "/made_on")
    ]


def test_a_calibration_table_is_never_edited(stand: Workshop):
    table = json.loads((EXAMPLES / "bench/gauges/G1.json").read_text("utf-8"))[0]
    assert add_table(stand, raw(table)).new is False
    other = add_table(stand, raw({**table, "error_share": 0.01}))
    assert other.new is None
    assert "never edited" in other.findings[0].says


@pytest.mark.parametrize(
    ("changes", "at"),
    [
        ({"number": 2}, "/number"),
        ({"issue": "B"}, "/issue"),
    ],
)
def test_a_signature_for_the_wrong_pass_or_sheet_is_refused(
    stand: Workshop, changes: dict[str, object], at: str
):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    take_pass(stand, front, pass_of(stand, front))
    answer = signed(stand, front, **changes)
    assert answer["good"] is False
    assert at in [each["at"] for each in answer["findings"]]  # type: ignore[attr-defined]


def test_a_wheel_whose_steps_are_not_recorded_cannot_be_signed(stand: Workshop):
    front = taken(stand)["front"]
    take_pass(stand, front, pass_of(stand, front))
    answer = signed(stand, front)
    assert answer["good"] is False
    assert view_of(stand, front).state == "planned"


def test_a_pass_only_a_remark_can_cover_needs_a_reason(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    off = pass_of(stand, front, lateral={"given_as": "full", "typed_mm": 0.3})
    assert said(take_pass(stand, front, off))["may_pass_with_remark"] is True
    assert signed(stand, front)["good"] is False
    short = signed(stand, front, key="k-sign-0002", verdict="pass-with-remark", reason="ok")
    assert short["good"] is False
    covered = signed(
        stand,
        front,
        key="k-sign-0003",
        verdict="pass-with-remark",
        reason="joint bump, seen with rim quality control",
    )
    assert (covered["good"], covered["verdict"]) == (True, "pass-with-remark")


def test_after_two_retrues_the_builder_does_not_sign_alone(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    for number in (1, 2):
        take_pass(stand, front, pass_of(stand, front, f"k-pass-000{number}", twisted=True))
    take_pass(stand, front, pass_of(stand, front, "k-pass-0003"))
    assert signed(stand, front, by="m. k.")["good"] is False
    assert signed(stand, front, key="k-sign-0002")["good"] is True


def test_an_order_that_waits_for_a_release_is_not_judged(stand: Workshop):
    front = taken(stand)["front"]
    with stand.database.writing() as section:
        section.run("update orders set state = 'on-hold'")
    answer = said(take_pass(stand, front, pass_of(stand, front)))
    assert answer["verdict"] == "not-judged"
    assert "bench.order-waits" in [each["code"] for each in answer["findings"]]


def test_a_rim_measured_off_stops_at_the_gate_and_a_new_issue_carries_its_lengths(
    stand: Workshop,
):
    front = taken(stand)["front"]
    before = view_of(stand, front)
    off = rim_gate(stand, front, diameters_mm=[before.plan.erd_mm + 0.9] * 4)
    assert [each.code for each in off.findings] == ["bench.erd-off"]
    made = reissue(stand, front, because="rim measured +0.9", erd_mm=before.plan.erd_mm + 0.9)
    assert made is not None
    assert made.sheet is not None
    assert made.sheet.issue == "B"
    after = view_of(stand, front)
    for side in ("left", "right"):
        grown_mm = after.plan.spokes[side].target_mm - before.plan.spokes[side].target_mm
        assert grown_mm == pytest.approx(0.45, abs=0.01)
    old = bench_of_code(stand, before.scanned.code)
    assert old is not None
    assert not old.in_force
    assert old.scanned.void_because == "rim measured +0.9"
    assert rim_gate(stand, front).findings == ()
    late = said(take_pass(stand, front, pass_of(stand, front, issue="A")))
    assert late["verdict"] == "not-judged"


@pytest.mark.parametrize("off_mm", [-250.0, 3.2 - 10.0, 20.0])
def test_a_diameter_that_no_rim_of_this_kind_has_makes_no_sheet_and_says_why(
    stand: Workshop, off_mm: float
):
    front = taken(stand)["front"]
    erd_mm = view_of(stand, front).plan.erd_mm + off_mm
    (said_at_gate,) = rim_gate(stand, front, diameters_mm=[erd_mm] * 4).findings
    assert "no rim is so far off" in said_at_gate.says
    made = reissue(stand, front, because="typed wrong", erd_mm=erd_mm)
    assert made is not None
    assert made.sheet is None
    assert [(each.code, each.at) for each in made.findings] == [("bench.erd-off", "/erd_mm")]
    assert len(sheets(stand, front)) == 1


def issued_under_lower_limit(workshop: Workshop, serial: str, monkeypatch: pytest.MonkeyPatch):
    """A new issue under an edition in which the rim bears less."""
    edition = view_of(workshop, serial).edition
    rim = edition.rims["OR33D"].model_copy(update={"spoke_limit_n": 1200.0})
    lowered = replace(
        edition, number=edition.number, digest="lowered", rims={**edition.rims, "OR33D": rim}
    )
    monkeypatch.setattr(reissuing, "edition_numbered", lambda *_: lowered)
    return reissue(workshop, serial, because="bed test", edition=edition.number)


def test_readings_by_other_targets_are_read_again_and_everything_else_still_counts(
    stand: Workshop, monkeypatch: pytest.MonkeyPatch
):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    take_pass(stand, front, (EXAMPLES / "bench/D-1001-front-pass-2.json").read_bytes())
    for number in (1, 2, 3):
        step(stand, front, "relief", round=number, before_n=1150, after_n=1140)
    assert signed(stand, front)["state"] == "inspected"
    before = view_of(stand, front)
    made = issued_under_lower_limit(stand, front, monkeypatch)
    assert made is not None
    assert made.sheet is not None, made.findings
    after = view_of(stand, front)
    assert after.state == "building"
    assert before.done - after.done == {"readings", "sign"}
    assert len(after.passes) == len(before.passes)


def test_a_wheel_whose_spokes_are_picked_gets_no_sheet_with_others(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    made = reissue(
        stand, front, because="measured late", erd_mm=view_of(stand, front).plan.erd_mm + 3.0
    )
    assert made is not None
    assert made.sheet is None
    assert "changes no spokes" in made.findings[-1].says
    assert len(sheets(stand, front)) == 1


@pytest.mark.parametrize("state", ["shipped", "stock", "cancelled"])
def test_a_wheel_that_nobody_builds_any_more_keeps_its_last_sheet(stand: Workshop, state: str):
    front = taken(stand)["front"]
    erd_mm = view_of(stand, front).plan.erd_mm + 0.9
    with stand.database.writing() as section:
        wheels.move(section, front, state)
    made = reissue(stand, front, because="too late", erd_mm=erd_mm)
    assert made is not None
    assert made.sheet is None
    assert [each.code for each in made.findings] == ["bench.step-order"]
    assert len(sheets(stand, front)) == 1


def test_the_same_sheet_is_not_issued_again(stand: Workshop):
    front = taken(stand)["front"]
    again = reissue(stand, front, because="nothing changed")
    assert again is not None
    assert again.unchanged
    assert len(sheets(stand, front)) == 1


def sheets(workshop: Workshop, serial: str) -> tuple[object, ...]:
    with workshop.database.reading() as section:
        return wheels.sheets_of(section, serial)


def test_the_truing_plan_of_the_newest_pass_is_given_again(stand: Workshop):
    front = taken(stand)["front"]
    assert json.loads(truing(stand, front) or "")["advice"] is None
    first = said(take_pass(stand, front, pass_of(stand, front)))
    assert json.loads(truing(stand, front) or "")["advice"] == first["advice"]
    assert truing(stand, "W31-99999-A") is None


def test_a_form_at_fault_is_refused_and_nothing_is_kept(stand: Workshop):
    front = taken(stand)["front"]
    answer = take_pass(stand, front, b'{"issue": "A"}')
    assert answer.outcome == "refused"
    assert {each.at for each in answer.findings} == {"/key", "/by"}
    assert view_of(stand, front).passes == ()


def test_a_rim_that_is_on_record_for_another_wheel_is_told(stand: Workshop):
    serials = taken(stand)
    assert said(take_pass(stand, serials["front"], pass_of(stand, serials["front"])))[
        "verdict"
    ] == ("pass")
    other = said(take_pass(stand, serials["rear"], pass_of(stand, serials["rear"])))
    told = [each for each in other["findings"] if each["code"] == "bench.serial-elsewhere"]
    assert {each["at"] for each in told} == {"/rim_serial", "/hub_serial"}
    assert serials["front"] in told[0]["says"]
