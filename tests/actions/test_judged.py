"""Equal orders are judged once, and what is no part of a judgement changes nothing in it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.actions import judged
from buildsheet.actions import take_order as taking
from buildsheet.actions.editions import edition_texts, running_edition
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.orders.check import check, check_read
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


def test_an_equal_order_is_not_judged_again_and_gets_the_same_plans(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    first = answer_of(take_order(workshop, raw(example("D-1001"))))
    monkeypatch.setattr(taking, "check_read", None)
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

    def told(*given):
        asked.append(given)
        return check_read(*given)

    monkeypatch.setattr(taking, "check_read", told)
    take_order(workshop, raw(example("D-1001", **change, **{"/number": "N-2"})))
    assert len(asked) == 1


def test_a_new_edition_judges_anew(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("edition = 16", "edition = 17", 1)
    published(workshop, texts)
    took = take_order(workshop, raw(example("D-1001", **{"/number": "N-2"})))
    assert (took.outcome, took.edition) == ("taken", 17)


def test_a_repeated_order_that_was_judged_before_is_replayed_under_the_lock(workshop: Workshop):
    first = take_order(workshop, raw(example("D-1001")), "a-key")
    again = take_order(replace(workshop), raw(example("D-1001")), "a-key")
    assert (again.outcome, again.answered) == ("replayed", first.answered)
