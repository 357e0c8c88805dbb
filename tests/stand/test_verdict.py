"""The verdict's truth table: stop before all, no pass without evidence, remarks only by a person."""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, pi, sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.bench.hints import laced_otherwise, mistakes
from buildsheet.bench.readings import Dish, Pass, RunOut, Tensions
from buildsheet.bench.verdict import judge
from buildsheet.wheel.spec import SIDES, FlangeSide, Side
from tests.stand.wheels import TODAY, at_target, demo_task, good_pass, spread, table, tables

FRONT = demo_task()
MISSING = frozenset(
    {
        "bench.sheet-void",
        "bench.reading-missing",
        "bench.gauge-table",
        "bench.gauge-range",
        "bench.caps-missing",
        "bench.other-rim",
    }
)
"""Codes that say that there is no evidence."""
SAMPLE_LEFT_1 = [1130, 1190, 1130, 1130, 1090, 1140, 1230, 1180, 1220, 1170, 1180, 1160]
SAMPLE_RIGHT_1 = [690, 810, 790, 790, 690, 690, 730, 740, 780, 760, 790, 740]
SAMPLE_LEFT_2 = [1160, 1160, 1130, 1190, 1160, 1180, 1130, 1130, 1140, 1150, 1170, 1160]
SAMPLE_RIGHT_2 = [760, 750, 760, 790, 750, 770, 770, 740, 770, 790, 730, 760]


def codes(read: Pass, **changes: Any) -> list[str]:
    said = judge(FRONT, read, changes.get("tables", tables()), TODAY)
    return [each.code for each in said.findings]


def word(read: Pass, **changes: Any) -> str:
    return judge(FRONT, read, changes.get("tables", tables()), TODAY).word


def test_a_wheel_at_its_targets_passes_and_nothing_is_said():
    assert (word(good_pass(FRONT)), codes(good_pass(FRONT))) == ("pass", [])


def test_the_first_pass_of_the_demo_wheel_stops_at_the_two_spokes_above_stop():
    typed = spread(FRONT, {"left": list(SAMPLE_LEFT_1), "right": list(SAMPLE_RIGHT_1)})
    said = judge(FRONT, good_pass(FRONT, typed), tables(), TODAY)
    assert said.word == "stop"
    stopped = [each.have["hole"] for each in said.findings if each.code == "bench.above-stop"]
    assert stopped == [14, 18]
    assert said.sides is not None
    assert (round(said.sides.left.mean_n), round(said.sides.right.mean_n)) == (1162, 750)
    assert round(said.sides.left.above_percent, 1) == 5.8
    assert round(said.sides.right.below_percent, 1) == -8.0


def test_the_second_pass_of_the_demo_wheel_passes():
    typed = spread(FRONT, {"left": list(SAMPLE_LEFT_2), "right": list(SAMPLE_RIGHT_2)})
    said = judge(FRONT, good_pass(FRONT, typed, mass_g=641.0), tables(), TODAY)
    assert said.word == "pass"
    assert said.ratio == pytest.approx(0.66, abs=0.005)


@pytest.mark.parametrize(
    ("change", "at"),
    [
        ({"rim_serial": ""}, "/rim_serial"),
        ({"hub_serial": ""}, "/hub_serial"),
        ({"tensions": None}, "/tension"),
        ({"lateral": None}, "/lateral"),
        ({"lateral": RunOut("full")}, "/lateral"),
        ({"lateral": RunOut("full", by_hole_mm=(0.0,) * 23 + (None,))}, "/lateral"),
        ({"radial": None}, "/radial"),
        ({"dish": None}, "/dish"),
        ({"mass_g": None}, "/mass_g"),
        ({"caps_fitted": None}, "/caps_fitted"),
        ({"caps_fitted": False}, "/caps_fitted"),
        ({"threads": ("in",) * 7}, "/threads"),
        ({"free_play": None}, "/free_play"),
        ({"twisted": None}, "/twisted"),
        ({"relief_rounds": None}, "/relief_rounds"),
        ({"issue": "B"}, "/issue"),
    ],
)
def test_whatever_is_missing_is_named_and_nothing_is_judged(change: dict[str, Any], at: str):
    said = judge(FRONT, good_pass(FRONT, **change), tables(), TODAY)
    assert said.word == "not-judged"
    assert at in [each.at for each in said.findings if each.code in MISSING]


def test_a_gauge_without_a_table_for_the_spoke_judges_nothing():
    read = good_pass(FRONT, tensions=Tensions("G3", "scale", (19.0,) * 24))
    said = judge(FRONT, read, tables(), TODAY)
    assert said.word == "not-judged"
    (finding,) = [each for each in said.findings if each.code == "bench.gauge-table"]
    assert finding.says.startswith("Gauge G3 has no table for spoke SJB9: not judged.")


def test_a_table_that_is_overdue_judges_nothing():
    old = {("G1", "SJB9"): table("G1", "SJB9", due_on=table("G1", "SJB9").made_on)}
    assert word(good_pass(FRONT), tables=old) == "not-judged"


def test_more_readings_than_spokes_judge_nothing():
    read = good_pass(FRONT, (*at_target(FRONT), 800.0))
    assert word(read) == "not-judged"


@pytest.mark.parametrize("used", [{}, tables()], ids=["no table", "table"])
def test_a_spoke_above_stop_stops_whatever_else_is_missing(used: dict[Any, Any]):
    typed = (1211.0, *at_target(FRONT)[1:])
    read = Pass(issue="Z", tensions=Tensions("G1", "n", typed))
    assert word(read, tables=used) == "stop"


def test_a_reading_beyond_the_top_of_the_scale_stops():
    typed = (30.0, *(16.0,) * 23)
    read = good_pass(FRONT, tensions=Tensions("G1", "scale", typed))
    assert word(read) == "stop"


@pytest.mark.parametrize("readings", [1, 23, 25])
def test_a_turn_that_was_read_at_other_holes_than_the_wheel_has_is_no_evidence(readings: int):
    turn = RunOut("full", by_hole_mm=(0.0,) * readings)
    for which, read in (
        ("lateral", good_pass(FRONT, lateral=turn)),
        ("radial", good_pass(FRONT, radial=turn)),
    ):
        said = judge(FRONT, read, tables(), TODAY)
        assert said.word == "not-judged"
        assert [each.at for each in said.findings] == [f"/{which}"]


def test_sides_of_which_a_slack_spoke_was_left_out_have_no_ratio():
    typed = (200.0, *at_target(FRONT)[1:])  # below the table: no force
    said = judge(FRONT, good_pass(FRONT, typed), tables(), TODAY)
    assert said.word == "not-judged"
    assert said.ratio is None


REAR = demo_task("D-1001", "rear")


def leaning(dish_mm: float) -> tuple[float | None, ...]:
    """The rear wheel's sides with its rim moved to the right: a spoke's share across the wheel is its
    distance from the rim over its length, and both sides pull alike across it."""
    reach: dict[Side, float] = {}
    for side in SIDES:
        flange = REAR.spec.hub[side]
        assert isinstance(flange, FlangeSide)
        away_mm = flange.from_centre_mm + (dish_mm if side == "left" else -dish_mm)
        turn = 2.0 * pi * (REAR.spec.spokes[side].crossings or 0) / REAR.spec.spokes[side].count
        hub_mm, rim_mm = flange.circle_mm / 2.0, REAR.spec.rim.erd_mm / 2.0
        flat = hub_mm**2 + rim_mm**2 - 2.0 * hub_mm * rim_mm * cos(turn)
        reach[side] = away_mm / hypot(away_mm, sqrt(flat))
    tight_n = REAR.target_n.right
    slack_n = tight_n * reach["right"] / reach["left"]
    return tuple(tight_n if side == "right" else slack_n for side in REAR.sides)


def test_a_ratio_that_the_dish_explains_is_no_mistake_of_lacing():
    table_of = tables(*{REAR.spokes.left, REAR.spokes.right})
    typed = leaning(2.0)
    with_dish = good_pass(REAR, typed, dish=Dish("gap", 4.0, "right"))
    said = judge(REAR, with_dish, table_of, TODAY)
    assert said.word == "rework"
    assert said.ratio is not None
    assert abs(said.ratio - REAR.ratio) > REAR.house.tension.ratio_tolerance
    assert [each.says for each in said.findings if "explains it" in each.says]
    assert not [each for each in said.findings if each.code == "bench.ratio-hint"]
    assert not laced_otherwise(REAR, said.ratio, with_dish.dish)
    for other in (None, Dish("gap", 4.0, "left"), Dish("gap", 0.2, "right")):
        assert laced_otherwise(REAR, said.ratio, other)


def test_a_coarse_gauge_stops_earlier_than_the_printed_value():
    coarse = {("G1", "SJB9"): table("G1", "SJB9", error_share=0.10)}
    typed = (1140.0, *at_target(FRONT)[1:])
    assert word(good_pass(FRONT, typed), tables=coarse) == "stop"  # 1140 x 1.10 = 1254 > 1250


@pytest.mark.parametrize(
    ("change", "code", "by_remark"),
    [
        ({"lateral": RunOut("full", 0.30)}, "bench.lateral", True),
        ({"lateral": RunOut("plus-minus", 0.15)}, "bench.lateral", True),
        ({"lateral": RunOut("full", 0.45)}, "bench.lateral", False),
        ({"radial": RunOut("full", 0.42)}, "bench.radial", True),
        ({"radial": RunOut("full", 0.60)}, "bench.radial", False),
        ({"dish": Dish("offset", 0.40, "right")}, "bench.dish", True),
        ({"dish": Dish("gap", 0.60, "right")}, "bench.dish", True),
        ({"dish": Dish("offset", 0.60, "left")}, "bench.dish", False),
        ({"mass_g": 700.0}, "bench.mass", False),
        ({"threads": ("in",) * 7 + ("below",)}, "bench.thread-end", False),
        ({"free_play": True}, "bench.free-play", False),
        ({"twisted": True}, "bench.twist", False),
        ({"relief_rounds": 2}, "bench.relief", False),
    ],
)
def test_what_is_out_of_tolerance_is_rework_and_a_remark_covers_only_a_little(
    change: dict[str, Any], code: str, by_remark: bool
):
    said = judge(FRONT, good_pass(FRONT, **change), tables(), TODAY)
    assert said.word == "rework"
    assert [each.code for each in said.findings] == [code]
    assert said.may_pass_with_remark is by_remark


def test_a_mass_typed_in_kilograms_is_called_that_and_no_cause_is_guessed():
    (said,) = judge(FRONT, good_pass(FRONT, mass_g=0.638), tables(), TODAY).findings
    assert (said.code, said.severity) == ("bench.mass", "block")
    assert "0.638 g" in said.says
    assert "Kilograms?" in said.says
    assert "Usual causes" not in said.says


@pytest.mark.parametrize(
    "change",
    [
        {"lateral": RunOut("full", 0.20)},
        {"lateral": RunOut("plus-minus", 0.10)},
        {"radial": RunOut("full", 0.40, at_joint=True)},
        {"dish": Dish("gap", 0.50, "right")},
        {"lateral": RunOut("full", by_hole_mm=(0.0, 0.2) * 12)},
    ],
)
def test_the_edge_of_a_tolerance_is_inside_it(change: dict[str, Any]):
    assert word(good_pass(FRONT, **change)) == "pass"


def test_three_neighbours_that_lean_one_way_are_a_hint_and_no_fault():
    left = [1205.0, 1205.0, 1205.0, *[1140.0] * 9]
    typed = spread(FRONT, {"left": left, "right": [FRONT.target_n.right] * 12})
    said = judge(FRONT, good_pass(FRONT, typed), tables(), TODAY)
    assert said.word == "pass"
    assert [each.have["holes"] for each in said.findings] == [[2, 4, 6]]


def test_after_two_retrues_a_second_person_is_asked():
    read = good_pass(FRONT, twisted=True)
    said = [judge(FRONT, read, tables(), TODAY, earlier).findings for earlier in (0, 1, 2)]
    asked = [any(each.code == "bench.second-person" for each in findings) for findings in said]
    assert asked == [False, False, True]


def test_a_rim_laced_turned_round_is_named_by_its_ratio():
    rear = demo_task("D-1009", "rear")
    assert rear.bed_offset_mm != 0.0
    turned = next(each for each in mistakes(rear) if "turned round" in each.what)
    tight_n = rear.target_n[rear.tight_side]
    typed = tuple(
        tight_n if side == rear.tight_side else tight_n * turned.ratio for side in rear.sides
    )
    read = good_pass(rear, typed)
    said = judge(rear, read, tables(*{rear.spokes.left, rear.spokes.right}), TODAY)
    assert said.word == "rework"
    assert not said.may_pass_with_remark
    hints = [each.says for each in said.findings if each.code == "bench.ratio-hint"]
    assert "the rim is laced turned round" in hints[0]
    assert "would come out" in hints[0]


FORCE = st.one_of(st.none(), st.floats(0.0, 2000.0))
ANY_PASS = st.builds(
    Pass,
    issue=st.sampled_from(["A", "B", ""]),
    rim_serial=st.sampled_from(["", "33D-1"]),
    hub_serial=st.sampled_from(["", "KF2-1"]),
    tensions=st.one_of(
        st.none(),
        st.builds(
            Tensions,
            gauge=st.sampled_from(["G1", "G3"]),
            unit=st.sampled_from(["n", "kgf", "scale"]),
            typed=st.lists(FORCE, max_size=26).map(tuple),
        ),
    ),
    lateral=st.one_of(
        st.none(), st.builds(RunOut, st.just("full"), st.one_of(st.none(), st.floats(0, 1)))
    ),
    radial=st.one_of(st.none(), st.builds(RunOut, st.just("full"), st.floats(0, 1))),
    dish=st.one_of(st.none(), st.builds(Dish, st.just("gap"), st.floats(0, 2), st.just("left"))),
    mass_g=st.one_of(st.none(), st.floats(500, 800)),
    caps_fitted=st.sampled_from([None, False, True]),
    threads=st.lists(st.sampled_from(["in", "below", "above"]), max_size=10).map(tuple),
    free_play=st.sampled_from([None, False, True]),
    twisted=st.sampled_from([None, False, True]),
    relief_rounds=st.one_of(st.none(), st.integers(0, 5)),
)


@given(ANY_PASS)
def test_no_pass_with_missing_evidence_and_no_spoke_above_stop_without_stop(read: Pass):
    said = judge(FRONT, read, tables(), TODAY)
    incomplete = (
        read.issue != "A"
        or not (read.rim_serial and read.hub_serial and read.caps_fitted)
        or read.tensions is None
        or read.tensions.gauge != "G1"
        or [each is not None for each in read.tensions.typed] != [True] * 24
        or None in (read.lateral, read.radial, read.dish, read.mass_g, read.free_play)
        or (read.lateral is not None and read.lateral.full_mm is None)
        or None in (read.twisted, read.relief_rounds)
        or len(read.threads) < 8
    )
    if incomplete:
        assert said.word in ("not-judged", "stop")
    factor = {"n": 1.0, "kgf": 9.80665}
    if read.tensions is not None and read.tensions.unit in factor:
        newtons = [
            each * factor[read.tensions.unit]
            for each in read.tensions.typed[:24]
            if each is not None
        ]
        above = any(each > FRONT.stop_n or each * 1.03 > FRONT.limit_n for each in newtons)
        assert (said.word == "stop") is above
    assert said.may_pass_with_remark is False or said.word == "rework"


@given(st.data())
def test_taking_anything_away_from_a_good_pass_never_leaves_a_pass(data: st.DataObject):
    read = good_pass(FRONT)
    member = data.draw(
        st.sampled_from(
            [
                "rim_serial",
                "hub_serial",
                "lateral",
                "radial",
                "dish",
                "mass_g",
                "caps_fitted",
                "free_play",
                "twisted",
                "relief_rounds",
                "threads",
                "hole",
            ]
        )
    )
    if member == "hole":
        assert read.tensions is not None
        hole = data.draw(st.integers(0, 23))
        typed = tuple(None if at == hole else each for at, each in enumerate(read.tensions.typed))
        less = replace(read, tensions=Tensions("G1", "n", typed))
    else:
        empty: Any = {"rim_serial": "", "hub_serial": "", "threads": ()}.get(member)
        less = replace(read, **{member: empty})
    assert judge(FRONT, less, tables(), TODAY).word == "not-judged"


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_a_number_that_is_none_is_no_reading(bad: float):
    with pytest.raises(ValueError, match=r"finite|below zero"):
        good_pass(FRONT, mass_g=bad)
