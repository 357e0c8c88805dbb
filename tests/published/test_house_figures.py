"""House figures that stand for a published one say what it says.

Sources: summaries of the Japanese bicycle institute that quote JIS D 9301:2019 (read; the standard
itself was not seen, so second-hand); TBIS 15194:2019, table 25 (read); 16 CFR 1512.16 (read through
translations, second-hand); StVZO section 67 (press and manuals, second-hand); an encyclopaedia's page
on spoke nipples (read); a list of hub widths by an author on bicycles (second-hand); Ford 2018 (read).
"""

from __future__ import annotations

import pytest

from tests.catalog.demo_texts import demo_edition

EDITION = demo_edition()
HOUSE = EDITION.house


def test_spoke_tension_floors_are_those_of_the_japanese_wheel_test() -> None:
    # 5.5.1.3 c, wheels over 22 in: mean 400 N; dished: gear side 400 N, other side 300 N; none at 150 N
    load = HOUSE.load
    assert load.mean_tension_floor_n == 400.0
    assert load.slack_mean_floor_n == 300.0
    assert load.spoke_floor_n == 150.0


def test_the_houses_own_floor_for_the_slack_side_is_stricter() -> None:
    assert HOUSE.tension.slack_side_n > HOUSE.load.slack_mean_floor_n


def test_side_loads_are_those_of_the_rim_test() -> None:
    # 250 N city, trekking, young adult, racing; 370 N mountain
    assert (HOUSE.load.side_load_n, HOUSE.load.side_load_rough_n) == (250.0, 370.0)


def test_a_wheel_is_kept_under_half_its_buckling_tension() -> None:
    # Ford 2018, buckling tension: goes out of true at about 50 % of it
    assert HOUSE.tension.buckling_share == 0.5


@pytest.mark.parametrize(
    ("market", "words"),
    [
        ("DE", ["two yellow", "180 degrees", "white", "StVZO section 67"]),
        ("US", ["tyre sidewalls", "spoke reflectors", "rims", "no brake", "16 CFR 1512.16"]),
    ],
)
def test_the_reflector_reminder_says_what_the_law_was_reported_to_say(
    market: str, words: list[str]
) -> None:
    said = HOUSE.markets[market].reflectors.lower()
    assert [word for word in words if word.lower() not in said] == []


def test_every_market_has_a_reminder_and_a_manual_in_a_language() -> None:
    for market in HOUSE.markets.values():
        assert market.reflectors
        assert market.manual_edition


def test_external_nipples_have_the_usual_square_lengths_and_rim_hole() -> None:
    # square 3.23 mm (also 3.30, 3.45), lengths 12, 14, 16 mm, rim hole 4.5 mm
    external = [each for each in EDITION.nipples.values() if each.kind == "external"]
    assert {each.key_mm for each in external} == {3.23}
    assert {each.length_mm for each in external} <= {12.0, 14.0, 16.0}
    assert {rim.external_hole_mm for rim in EDITION.rims.values()} == {4.5}


def test_hubs_have_over_locknut_distances_in_use() -> None:
    front_mm, rear_mm = {100.0, 110.0}, {130.0, 135.0, 142.0, 148.0}
    for hub in EDITION.hubs.values():
        assert hub.over_locknut_mm in (front_mm if hub.position == "front" else rear_mm)
        assert all(int(axle.split("x")[1]) == hub.over_locknut_mm for axle in hub.axles)
