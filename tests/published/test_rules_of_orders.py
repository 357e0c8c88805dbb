"""Rules of orders turn at the published figure that they stand for.

Parts are those of the invented workshop; the figures are: JIS D 9301:2019 5.5.1.3 c through summaries of
the Japanese bicycle institute (the standard was not seen: second-hand); the highest pressure on rims
without hooks, ETRTO through the trade press and a tyre maker's page (second-hand); five millimetres of
tyre over such a rim, cycling press 2023 (second-hand); 16 CFR 1512.16 through translations and StVZO
section 67 through press and manuals (second-hand); classes of EN 17406:2020 (read in its preview and
summaries); the side load of TBIS 15194:2019, table 25 (read).
"""

from __future__ import annotations

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.units import psi
from tests.orders.workshop import (
    answer,
    codes,
    demo,
    disc_set,
    example,
    front_only,
    put,
    the,
    with_house,
    with_part,
)

JIS_TIGHT_MEAN_N, JIS_SLACK_MEAN_N, JIS_SPOKE_N = 400.0, 300.0, 150.0


def with_slack_side_at(slack_n: float) -> Edition:
    """The demo edition with its limits lowered until the disc set's rear slack side carries this."""
    ratio = answer(disc_set()).plans["rear"].tension.ratio
    share = demo().house.tension.limit_share
    return with_part(demo(), "hubs", "KR2", spoke_limit_n=slack_n / ratio / share)


def with_tight_side_at(tight_n: float) -> Edition:
    share = demo().house.tension.limit_share
    return with_part(demo(), "hubs", "KF1", radial_spoke_limit_n=tight_n / share)


@pytest.mark.parametrize(
    ("slack_n", "blocked"), [(JIS_SLACK_MEAN_N + 1.0, False), (JIS_SLACK_MEAN_N - 1.0, True)]
)
def test_a_dished_wheels_slack_side_is_held_to_the_japanese_floor(slack_n: float, blocked: bool):
    # JIS D 9301:2019 5.5.1.3 c, dished wheel: the other side at least 300 N (second-hand)
    checked = answer(disc_set(), with_slack_side_at(slack_n))
    assert ("tension.floor" in codes(checked, "block")) == blocked


@pytest.mark.parametrize(
    ("tight_n", "blocked"), [(JIS_TIGHT_MEAN_N + 1.0, False), (JIS_TIGHT_MEAN_N - 1.0, True)]
)
def test_a_wheels_mean_tension_is_held_to_the_japanese_floor(tight_n: float, blocked: bool):
    # JIS D 9301:2019 5.5.1.3 c, wheels over 22 in: mean at least 400 N (second-hand)
    radial = put(example("D-1007"), {"/use/brake": "rim", "/kind": "front", "/rear": None})
    checked = answer(radial, with_tight_side_at(tight_n))
    assert ("tension.floor" in codes(checked, "block")) == blocked


def test_no_spoke_may_sit_at_the_japanese_least():
    # the same clause: no spoke at or below 150 N (second-hand). The house's band below the mean counts.
    edition = with_house(demo(), "load", mean_tension_floor_n=0.0, slack_mean_floor_n=0.0)
    band = 1.0 - edition.house.tension.band_percent / 100.0
    ratio = answer(disc_set()).plans["rear"].tension.ratio
    share = edition.house.tension.limit_share
    for spoke_n, blocked in ((JIS_SPOKE_N + 1.0, False), (JIS_SPOKE_N - 1.0, True)):
        limit_n = spoke_n / band / ratio / share
        low = with_part(edition, "hubs", "KR2", spoke_limit_n=limit_n)
        assert ("tension.floor" in codes(answer(disc_set(), low), "block")) == blocked


def test_rims_without_hooks_are_capped_at_the_published_pressure():
    # 5 bar = 72.5 psi (second-hand); the psi are printed with one decimal
    straight = with_part(demo(), "rims", "OR33D", bead="hookless")
    need = the(answer(front_only(), straight), "tyre.pressure").need["bar"]
    assert need == {"at_most": 5.0}
    assert psi(5.0) == pytest.approx(72.5, abs=0.05)


@pytest.mark.parametrize(
    ("tyre_mm", "accepted"), [(28, False), (30, True)], ids=["28 on 25", "30 on 25"]
)
def test_five_millimetres_of_tyre_over_a_rim_without_hooks(tyre_mm: int, accepted: bool):
    # cycling press 2023 on revised guidance: 28 mm on 25 mm excluded, 30 mm advised (second-hand)
    wide = with_part(
        demo(), "rims", "OR33D", bead="hookless", inner_width_mm=25.0, tyre_min_mm=25.0
    )
    checked = answer(put(front_only(), {"/use/tyre_width_mm": tyre_mm}), wide)
    assert ("tyre.hookless" not in codes(checked)) == accepted


@pytest.mark.parametrize(
    ("market", "words"),
    [("DE", ["two yellow spoke reflectors", "StVZO"]), ("US", ["1512.16", "sidewalls"])],
)
def test_reflective_decals_are_not_passed_off_as_the_reflectors_of_the_law(
    market: str, words: list[str]
):
    finding = the(answer(put(disc_set(), {"/market": market})), "finish.reflector")
    assert finding.severity == "caution"
    assert all(word.lower() in finding.says.lower() for word in words)
    assert "second-hand" in finding.source


def test_decals_certified_as_reflectors_need_no_warning():
    edition = demo()
    for hand in ("L", "R"):
        edition = with_part(edition, "decals", f"LAGOON-S-{hand}", certified_reflector=True)
    assert "finish.reflector" not in codes(answer(disc_set(), edition))


@pytest.mark.parametrize("use_class", [1, 2, 3, 4, 5, 6])
def test_only_classes_that_a_part_lists_are_released(use_class: int):
    # EN 17406 has six classes; the sixth is sportive road, not "harder than five" (read in summaries)
    checked = answer(put(disc_set(), {"/use/class": use_class}))
    assert ("load.use-class" not in codes(checked)) == (use_class in (1, 2))


@pytest.mark.parametrize(
    ("use_class", "push_n"), [(1, 250.0), (2, 250.0), (3, 370.0), (5, 370.0), (6, 250.0)]
)
def test_the_side_push_is_that_of_the_wheel_test_for_the_use(use_class: int, push_n: float):
    # 250 N city, trekking, young adult and racing; 370 N mountain (read, TBIS 15194:2019 table 25)
    soft = demo().rims["OR33D"].section
    assert soft is not None
    limp = soft.model_copy(
        update={
            "lateral_bending_nm2": soft.lateral_bending_nm2 * 0.4,
            "torsion_nm2": soft.torsion_nm2 * 0.4,
        }
    )
    edition = with_part(demo(), "rims", "OR33D", section=limp)
    said = [
        each.need["slack_side_load_n"]
        for each in answer(put(disc_set(), {"/use/class": use_class}), edition).findings
        if each.code == "load.side-load"
    ]
    assert {"at_least": push_n} in said
