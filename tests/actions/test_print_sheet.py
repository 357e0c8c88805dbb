"""The sheet that is in force: the same bytes each time, drawn once, none before a release."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pypdfium2
import pytest

from buildsheet import sheet
from buildsheet.actions import print_sheet
from buildsheet.actions.draw_sheets import draw_sheets
from buildsheet.actions.editions import running_edition
from buildsheet.actions.finding_record import findings_of
from buildsheet.actions.print_sheet import Waits, sheet_digest, sheet_pdf, sheet_picture
from buildsheet.actions.sheet_requests import NOT_TAKEN
from buildsheet.actions.show_wheel import WheelView, show_sheet, show_wheel
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.orders.check import check
from buildsheet.storage import wheels
from tests.workshops import EXAMPLES, MORNING, example, raw

POINTS_PER_MM = 72 / 25.4


def taken(workshop: Workshop, name: str = "D-1001", position: int = 0) -> WheelView:
    took = take_order(workshop, raw(example(name)))
    assert took.answered is not None, took.findings
    serial = json.loads(took.answered.text)["wheels"][position]["serial"]
    view = show_wheel(workshop, serial)
    assert view is not None
    return view


def text_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    text = "\n".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    return text


def reissue(workshop: Workshop, view: WheelView) -> None:
    old = view.stored.sheet
    code = old.code[::-1]
    later = stamp(MORNING + timedelta(hours=1))
    with workshop.database.writing() as section:
        new = replace(old, code=code, issue="B", issued_at=later)
        wheels.issue_sheet(section, new, "the rim limit was lowered")


def test_a_sheet_carries_the_serial_the_order_and_the_lengths(workshop: Workshop):
    view = taken(workshop)
    text = text_of(sheet_pdf(workshop, view))
    for word in (view.stored.serial, "D-1001", "277", "279"):
        assert word in text


def test_a_sheet_is_drawn_once_and_given_again(workshop: Workshop, monkeypatch: pytest.MonkeyPatch):
    view = taken(workshop)
    first = sheet_pdf(workshop, view)
    monkeypatch.setattr(sheet, "pdf", None)  # drawing again would fail
    assert sheet_pdf(workshop, view) == first


def test_the_same_sheet_drawn_anew_has_the_same_bytes(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    view = taken(workshop)
    first = sheet_pdf(workshop, view)
    monkeypatch.setattr(print_sheet, "_shelf", print_sheet._Shelf(1))
    assert sheet_pdf(workshop, view) == first


@pytest.mark.parametrize(("paper", "size_mm"), [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))])
def test_a_sheet_comes_on_either_paper(
    workshop: Workshop, paper: str, size_mm: tuple[float, float]
):
    document = pypdfium2.PdfDocument(sheet_pdf(workshop, taken(workshop), paper))
    sizes = [page.get_size() for page in document]
    document.close()
    assert len(sizes) == 2
    for width, height in sizes:
        # Half a millimetre: a PDF's own numbers are rounded.
        assert (width / POINTS_PER_MM, height / POINTS_PER_MM) == pytest.approx(size_mm, abs=0.5)


def test_an_order_on_hold_has_no_sheet(workshop: Workshop):
    order = (EXAMPLES / "refused" / "lacing.head-clearance.json").read_bytes()
    took = take_order(workshop, order)
    assert took.answered is not None
    view = show_wheel(workshop, json.loads(took.answered.text)["wheels"][0]["serial"])
    assert view is not None
    with pytest.raises(Waits, match="waits for an approval by name"):
        sheet_pdf(workshop, view)
    with pytest.raises(Waits):
        sheet_picture(workshop, view, 1)
    with pytest.raises(Waits):
        draw_sheets(None, check(order, running_edition(workshop)), running_edition(workshop), "a4")


def test_a_new_issue_makes_the_old_sheet_void(workshop: Workshop):
    view = taken(workshop)
    reissue(workshop, view)
    found = show_sheet(workshop, view.stored.sheet.code)
    assert found is not None
    old, now = found
    assert (old.issue, old.void_at) == ("A", "2031-05-01T09:00:00.000Z")
    assert old.void_because == "the rim limit was lowered"
    assert now.stored.sheet.issue == "B"
    assert [each.issue for each in now.sheets] == ["A", "B"]
    assert sheet_digest(now, "a4") != sheet_digest(view, "a4")


def test_findings_are_read_back_as_they_were_said(workshop: Workshop):
    findings = check(raw(example("D-1006")), running_edition(workshop)).findings
    assert findings_of([each.as_json() for each in findings]) == findings


def test_a_sheet_of_an_order_not_taken_says_so_and_opens_no_wheel(workshop: Workshop):
    edition = running_edition(workshop)
    drawn = draw_sheets(workshop, check(raw(example("D-1001")), edition), edition, "a4")
    assert [each.file_name for each in drawn] == ["D-1001-front.pdf", "D-1001-rear.pdf"]
    assert all(NOT_TAKEN in text_of(each.pdf) for each in drawn)
    assert [each.serial for each in drawn] == [None, None]


def test_a_sheet_of_a_taken_order_is_the_one_the_workshop_gives_out(workshop: Workshop):
    view = taken(workshop)
    edition = running_edition(workshop)
    drawn = draw_sheets(workshop, check(raw(example("D-1001")), edition), edition, "a4")
    assert drawn[0].serial == view.stored.serial
    assert drawn[0].pdf == sheet_pdf(workshop, view)


def test_a_sheet_of_another_order_under_the_same_number_is_not_mistaken_for_it(workshop: Workshop):
    taken(workshop)
    edition = running_edition(workshop)
    other = raw(example("D-1001", **{"/use/rider_kg": 77}))
    drawn = draw_sheets(workshop, check(other, edition), edition, "a4")
    assert [each.serial for each in drawn] == [None, None]
