"""An order that is wanted by a day that has passed is told so, and taken."""

from __future__ import annotations

import pytest

from buildsheet.actions.check_order import check_against_shelves
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.workshops import Document, answer_of, example, raw

CODE = "order.wanted-by-past"


def wanted_by(day: str | None, number: str = "D-1001") -> Document:
    return example("D-1001", **{"/wanted_by": day, "/number": number})


def said(workshop: Workshop, order: Document) -> list[Document]:
    """What the answer to the taken order says of its day."""
    findings = answer_of(take_order(workshop, raw(order)))["findings"]
    return [each for each in findings if each["code"] == CODE]


def test_a_day_that_has_passed_is_a_caution_and_the_order_is_taken(workshop: Workshop):
    """The clock stands at the first of May."""
    [caution] = said(workshop, wanted_by("2031-04-30"))
    assert (caution["severity"], caution["at"]) == ("caution", "/wanted_by")
    assert caution["says"] == (
        "The order is wanted by 2031-04-30, and it came on 2031-05-01. Ask for another day, or look for "
        "a slip in the date."
    )


@pytest.mark.parametrize("day", [None, "2031-05-01", "2031-05-20"])
def test_no_day_today_and_a_day_to_come_are_no_matter(workshop: Workshop, day: str | None):
    assert said(workshop, wanted_by(day)) == []
    checked = check_against_shelves(workshop, raw(wanted_by(day)))
    assert CODE not in [each.code for each in checked.findings]


def test_who_asks_only_is_told_the_same(workshop: Workshop):
    order = wanted_by("2031-04-30")
    checked = check_against_shelves(workshop, raw(order))
    assert [each.as_json() for each in checked.findings if each.code == CODE] == said(
        workshop, order
    )
    assert checked.buildable


def test_orders_of_the_same_wheels_are_told_of_their_own_day_only(workshop: Workshop):
    """What was judged once is shared between them; the day is not."""
    assert len(said(workshop, wanted_by("2031-04-30", "D-9001"))) == 1
    assert said(workshop, wanted_by("2031-05-20", "D-9002")) == []
    [third] = said(workshop, wanted_by("2031-04-29", "D-9003"))
    assert "wanted by 2031-04-29" in third["says"]
