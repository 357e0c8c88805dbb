"""Equal orders are judged once, and what is no part of a judgement changes nothing in it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.actions.editions import edition_texts, running_edition
from buildsheet.actions.intake import judged
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.orders.check import check
from buildsheet.orders.checks import QUESTIONS
from buildsheet.orders.checks.rules import asked_by
from buildsheet.orders.posted import Posted
from buildsheet.orders.reading import read_parsed
from buildsheet.orders.text import parse
from tests.orders.workshop import demo
from tests.workshops import answer_of, example, published, raw

OTHER: dict[str, Value] = {
    "source": "shop-z",
    "number": "Z-9",
    "revision": 7,
    "wanted_by": "2032-01-01",
}


@pytest.fixture(autouse=True)
def _nothing_judged():
    judged.forget()
    yield
    judged.forget()


@pytest.mark.parametrize("name", ["D-1001", "D-1005", "D-1006", "D-1007", "D-1009"])
def test_who_orders_and_by_when_changes_nothing_that_is_said(workshop: Workshop, name: str):
    edition = running_edition(workshop)
    assert OTHER.keys() == judged.WHO
    changed = example(name, **{f"/{member}": value for member, value in OTHER.items()})
    one, other = check(raw(example(name)), edition), check(raw(changed), edition)
    assert (one.findings, one.plans) == (other.findings, other.plans)


def test_an_order_that_came_twice_is_not_judged_a_third_time_and_gets_the_same_plans(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    first = answer_of(take_order(workshop, raw(example("D-1001"))))
    take_order(workshop, raw(example("D-1001", **{"/number": "N-1"})))
    monkeypatch.setattr(judged, "judge", None)
    second = answer_of(take_order(workshop, raw(example("D-1001", **{"/number": "N-2"}))))
    assert second["plans"] == first["plans"]
    assert second["findings"] == first["findings"]
    assert second["number"] == "N-2"
    assert {wheel["serial"] for wheel in first["wheels"]}.isdisjoint(
        wheel["serial"] for wheel in second["wheels"]
    )


@pytest.mark.parametrize("change", [{"/note": "gift"}, {"/use/rider_kg": 79}])
def test_a_note_or_another_mass_is_judged_anew(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch, change: dict[str, Value]
):
    take_order(workshop, raw(example("D-1001")))
    asked = []
    judge = judged.judge

    def told(*given):
        asked.append(given)
        return judge(*given)

    monkeypatch.setattr(judged, "judge", told)
    take_order(workshop, raw(example("D-1001", **change, **{"/number": "N-2"})))
    assert len(asked) == 1


MASSES = st.integers(1, 400).map(lambda tenths: tenths / 2.0) | st.integers(40, 130)


@settings(max_examples=60)
@given(
    name=st.sampled_from(["D-1001", "D-1003", "D-1009", "D-1011", "refused/lacing.head-clearance"]),
    masses=st.lists(st.tuples(MASSES, MASSES, MASSES), min_size=2, max_size=4),
)
def test_other_masses_for_the_same_wheels_are_judged_as_if_nobody_had_come_before(
    name: str, masses: list[tuple[float, float, float]]
):
    judged.forget()
    for rider_kg, bike_kg, luggage_kg in masses:
        use = {"/use/rider_kg": rider_kg, "/use/bike_kg": bike_kg, "/use/luggage_kg": luggage_kg}
        posted = raw(example(name, **use))
        parsed = parse(posted)
        assert judged.judge(parsed, read_parsed(parsed), demo()).checked == check(posted, demo())


def test_every_rule_of_an_edition_is_asked_by_one_check():
    checks = {each.check.partition(".")[2] for each in QUESTIONS if each.check.startswith("rules.")}
    asked = [rule.id for check in checks for rule in asked_by(check, demo())]
    assert sorted(asked) == sorted(
        rule.id for rule in demo().rules.values() if rule.asked_in(demo().number)
    )


def test_for_the_same_wheels_only_what_looks_at_the_masses_is_asked_again(
    monkeypatch: pytest.MonkeyPatch,
):
    parsed = parse(raw(example("D-1001")))
    judged.judge(parsed, read_parsed(parsed), demo())
    asked = []
    wheel_of = Posted.wheel

    def counted(self, position):
        asked.append(position)
        return wheel_of(self, position)

    monkeypatch.setattr(Posted, "wheel", counted)
    parsed = parse(raw(example("D-1001", **{"/use/rider_kg": 71})))
    judged.judge(parsed, read_parsed(parsed), demo())
    assert 0 < len(asked) < 20 < len(QUESTIONS)


def test_a_new_edition_judges_anew(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("edition = 16", "edition = 17", 1)
    published(workshop, texts)
    took = take_order(workshop, raw(example("D-1001", **{"/number": "N-2"})))
    assert (took.outcome, took.edition) == ("taken", 17)


def limits_published(workshop: Workshop, front_kg: float, rear_kg: float) -> None:
    """Edition 17, in which the demo's first set carries other masses."""
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("edition = 16", "edition = 17", 1)
    rims = texts["parts/rims.toml"]
    for was, now in (
        ("holes = 24, front_kg = 105.0,", f"holes = 24, front_kg = {front_kg},"),
        ("holes = 28, front_kg = 120.0, rear_kg = 115.0", f"holes = 28, rear_kg = {rear_kg}"),
        ("load test LT-OR33D-1, 2030", "load test LT-OR33D-2, 2031"),
    ):
        assert was in rims
        rims = rims.replace(was, now, 1)
    texts["parts/rims.toml"] = rims
    published(workshop, texts)


def test_what_a_new_edition_carries_is_not_refused_over_the_one_before(workshop: Workshop):
    heavy = example("D-1001", **{"/number": "N-2", "/use/rider_kg": 110})
    assert take_order(workshop, raw(heavy)).outcome == "refused"
    take_order(workshop, raw(example("D-1001")))
    limits_published(workshop, 140.0, 140.0)
    took = take_order(workshop, raw(heavy))
    assert (took.outcome, took.edition) == ("taken", 17), took.findings


def test_what_a_new_edition_does_not_carry_is_not_taken_over_the_one_before(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    limits_published(workshop, 60.0, 60.0)
    for change in ({"/use/rider_kg": 77}, {}):
        took = take_order(workshop, raw(example("D-1001", **{"/number": "N-2"}, **change)))
        assert (took.outcome, took.edition) == ("refused", 17)
        assert "load.system-mass" in {each.code for each in took.findings}


def test_a_repeated_order_that_was_judged_before_is_replayed_under_the_lock(workshop: Workshop):
    first = take_order(workshop, raw(example("D-1001")), "a-key")
    again = take_order(replace(workshop), raw(example("D-1001")), "a-key")
    assert (again.outcome, again.answered) == ("replayed", first.answered)
