"""The desk counts what the workshop says lies there; the list of the files only where nobody counted."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_stock_file
from buildsheet.actions.desk.draft import begin, change
from buildsheet.actions.desk.impact import draft_impact
from buildsheet.actions.desk.shelves import shelves
from buildsheet.actions.editions import running_edition
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutPart
from buildsheet.storage import stock
from buildsheet.storage.stock import Movement
from tests.workshops import raw


def receive(workshop: Workshop, item: str, pieces: int, place: str) -> None:
    line = {"kind": "received", "part": item, "pieces": pieces, "bin": place}
    document = {"key": f"received-{pieces}", "by": "S. Keeper", "reason": "", "movements": [line]}
    assert take_movements(workshop, raw(document)).outcome == "entered"


def stranded(workshop: Workshop, directory: Path | None = None) -> list[tuple[str, int, str]]:
    found = draft_impact(workshop, stock=directory).impact
    assert found is not None
    return [(each.item, each.quantity, each.bin) for each in found.stranded if not each.before]


@pytest.fixture
def ending(workshop: Workshop) -> Workshop:
    """The draft ends a hub."""
    draft = begin(workshop, by="A. Author")
    ended = PutPart("KR1", values={"state": "ended"})
    assert change(workshop, [ended], version=draft.version, by="A. Author").draft is not None
    return workshop


def test_a_workshop_that_counts_strands_what_lies_on_its_own_shelves(ending: Workshop):
    receive(ending, "KR1/28", 7, "X-9")
    assert stranded(ending) == [("KR1/28", 7, "X-9")]
    listed = stranded(ending, demo_directory())
    assert ("KR1/28", 7, "X-9") not in listed
    assert {item for item, _, _ in listed} >= {"KR1/24", "KR1/28"}


def test_a_workshop_that_never_counted_strands_what_the_list_says(ending: Workshop):
    assert stranded(ending) == stranded(ending, demo_directory())


def test_an_own_shelf_that_is_empty_strands_nothing_and_reads_no_list(ending: Workshop):
    receive(ending, "SSB9/267", 5, "S4")
    assert stranded(ending) == []
    edition = running_edition(ending)
    own, findings = shelves(ending, edition)
    assert findings == ()
    assert own is not None
    assert [(each.item, each.quantity, each.bin) for each in own] == [("SSB9/267", 5, "S4")]
    assert shelves(None, edition) == read_stock_file(demo_directory(), edition)


def test_a_drilled_rim_is_of_use_as_long_as_its_rim_is(ending: Workshop):
    with ending.database.writing() as section:
        drilled = Movement("received", "OR45D/24/OR45D-24F-X", shelf_change=1, bin="D-1")
        stock.append(section, [drilled], at="2031-05-01T08:00:00.000Z", by="S. Keeper", reason="")
    found = draft_impact(ending).impact
    assert found is not None
    assert found.stranded == ()
