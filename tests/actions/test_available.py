"""A check says what the shelves lack now, holds nothing, and stands in nobody's way."""

from __future__ import annotations

from typing import Any

import pytest

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.check_order import check_against_shelves, check_posted
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.workshops import Document, counts, example, raw


@pytest.fixture
def stocked(workshop: Workshop) -> Workshop:
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
    return workshop


def stock_said(workshop: Workshop, document: Document) -> list[Any]:
    checked = check_against_shelves(workshop, raw(document))
    return [each for each in checked.findings if each.code.startswith("stock.")]


def expect(workshop: Workshop, part: str, **pieces_by_day: int) -> None:
    lines = [
        {"kind": "expected", "part": part, "pieces": pieces, "due_on": day.replace("_", "-")[1:]}
        for day, pieces in pieces_by_day.items()
    ]
    document = {"key": "k-expected", "by": "S.", "reason": "", "movements": lines}
    assert take_movements(workshop, raw(document)).outcome == "entered"


def test_an_order_whose_parts_are_there_is_told_nothing(stocked: Workshop):
    assert stock_said(stocked, example("D-1001")) == []


def test_what_is_short_is_a_caution_with_the_day_from_which_it_suffices(stocked: Workshop):
    expect(stocked, "SSB9/267", _2031_05_12=1, _2031_05_15=200)
    before = counts(stocked)
    checked = check_against_shelves(stocked, raw(example("D-1002")))
    assert checked.buildable
    (said,) = [each for each in checked.findings if each.code.startswith("stock.")]
    assert (said.code, said.severity) == ("stock.short", "caution")
    assert said.at == "/front/spoke"
    assert said.need == {"pieces": 14, "build": 12, "spare": 2, "short": 3}
    assert said.says.endswith(
        "Expected: 1 on 12 May 2031, 200 on 15 May 2031. Enough from 15 May 2031 on."
    )
    assert counts(stocked) == before
    # Whoever takes it is refused for the same article.
    took = take_order(stocked, raw(example("D-1002")))
    assert [(each.code, each.severity) for each in took.findings] == [("stock.short", "block")]
    assert [each.have["item"] for each in took.findings] == [said.have["item"]]


def test_what_is_short_and_not_announced_has_no_day(stocked: Workshop):
    (said,) = stock_said(stocked, example("D-1002"))
    assert said.says.endswith("No delivery is announced.")


def test_an_order_that_was_taken_has_its_own_parts(stocked: Workshop):
    document = example("D-1001")
    assert take_order(stocked, raw(document)).outcome == "taken"
    emptied = [{"kind": "counted", "part": part, "pieces": 20} for part in ("SJB9/277", "SJB9/279")]
    counted = {"key": "k-counted", "by": "S.", "reason": "seen", "movements": emptied}
    assert take_movements(stocked, raw(counted)).outcome == "entered"
    assert stock_said(stocked, document) == []
    assert stock_said(stocked, {**document, "revision": 2}) == []
    other = stock_said(stocked, {**document, "number": "D-9001"})
    assert {each.have["item"] for each in other} == {"SJB9/277", "SJB9/279"}


def test_a_workshop_that_keeps_no_stock_says_so_instead_of_nothing(workshop: Workshop):
    said = stock_said(workshop, example("D-1001"))
    assert [(each.code, each.severity) for each in said] == [("stock.not-kept", "note")]


def test_an_order_that_cannot_be_built_is_told_that_and_nothing_of_the_shelves(stocked: Workshop):
    document = example("D-1002", **{"/front/holes": 28})
    checked = check_against_shelves(stocked, raw(document))
    assert not checked.buildable
    assert checked.findings == check_posted(stocked, raw(document)).findings
