"""Three editions of the demo workshop: one runs, one takes its place, one is being prepared.

Edition 16 runs and an order is taken under it. Edition 17 lowers a limit after a bed test, ends a colour
in one size, and brings a rule for thin spokes; it starts at six in the morning. Edition 18 is a draft
with a slip of the decimal point in it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from buildsheet.actions.check_order import check_posted
from buildsheet.actions.desk.draft import Draft, begin, change, the_draft
from buildsheet.actions.desk.papers import show_edition
from buildsheet.actions.desk.publish import Published, Refused, publish
from buildsheet.actions.editions import running_edition
from buildsheet.actions.print_sheet import sheet_pdf
from buildsheet.actions.show_order import show_order
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutPart, read_edits
from buildsheet.findings import Change
from tests.workshops import EXAMPLES, answer_of, example, raw

AUTHOR, SECOND = "A. Author", "B. Second"
SIX = "2031-05-01T06:00:00+02:00"
TOO_EARLY = datetime(2031, 5, 1, 3, 59, 59, tzinfo=UTC)


def drafted(workshop: Workshop, file: Path) -> Draft:
    """The edits of a file, in the draft."""
    edits, faults = read_edits(json.loads(file.read_text(encoding="utf-8")))
    assert not faults
    draft = the_draft(workshop) or begin(workshop, AUTHOR)
    changed = change(workshop, edits, version=draft.version, by=AUTHOR)
    assert changed.draft is not None, changed.findings
    return changed.draft


def edition_17(workshop: Workshop) -> Published:
    draft = drafted(workshop, EXAMPLES / "editions" / "17.json")
    assert draft.findings == ()
    done = publish(
        workshop,
        version=draft.version,
        author=AUTHOR,
        approver=SECOND,
        reason="The spoke bed of OR33D gave way at 1250 N.",
        starts=SIX,
    )
    assert isinstance(done, Published), done.findings
    return done


def keys(workshop: Workshop, name: str) -> set[tuple[str, str]]:
    found = check_posted(workshop, raw(example(name))).findings
    return {(each.code, each.at) for each in found if each.blocks}


def test_the_next_edition_lowers_a_limit_ends_a_colour_and_brings_a_rule(workshop: Workshop):
    done = edition_17(workshop)
    assert [(each.code, each.what) for each in done.differences.parts] == [
        ("OR33D", "changed"),
        ("PLUM-L-L", "changed"),
        ("PLUM-L-R", "changed"),
    ]
    assert [(each.id, each.what) for each in done.differences.rules] == [
        ("light-spokes-light-load", "added")
    ]
    assert len(done.second) == 3
    view = show_edition(workshop, 17)
    assert view is not None
    assert view.line.paper is not None
    assert (view.line.paper.author, view.line.paper.approver) == (AUTHOR, SECOND)


def test_one_person_alone_does_not_publish_it(workshop: Workshop):
    draft = drafted(workshop, EXAMPLES / "editions" / "17.json")
    refused = publish(workshop, version=draft.version, author=AUTHOR, reason="bed test")
    assert isinstance(refused, Refused)
    assert [each.code for each in refused.findings] == ["data.second-person"]
    assert running_edition(workshop).number == 16


def test_it_starts_at_six_in_the_morning(workshop: Workshop):
    edition_17(replace(workshop, clock=lambda: TOO_EARLY))
    assert running_edition(replace(workshop, clock=lambda: TOO_EARLY)).number == 16
    assert running_edition(workshop).number == 17


def test_an_order_taken_under_the_edition_before_stays_as_it_is(workshop: Workshop):
    taken = answer_of(take_order(workshop, raw(example("D-1001"))))
    wheel = known_wheel(workshop, taken["wheels"][0]["serial"])
    sheet = sheet_pdf(workshop, wheel)
    edition_17(workshop)
    view = show_order(workshop, taken["id"])
    assert view is not None
    shown = view.as_json()
    assert (shown["edition"], shown["plans"]) == (16, taken["plans"])
    assert taken["plans"]["front"]["tension"]["stop_n"] == 1210
    assert sheet_pdf(workshop, known_wheel(workshop, wheel.stored.serial)) == sheet
    again = take_order(workshop, raw(example("D-1001")))
    assert again.outcome == "replayed"
    assert answer_of(again) == taken


def test_the_same_order_under_the_new_edition_has_the_lower_targets(workshop: Workshop):
    edition_17(workshop)
    front = check_posted(workshop, raw(example("D-1001"))).plans["front"].tension
    assert (round(front.left_n), round(front.right_n), front.stop_n) == (1104, 735, 1160)


def test_six_mistakes_of_one_order_come_in_one_answer(workshop: Workshop):
    under_16 = keys(workshop, "D-1005")
    edition_17(workshop)
    under_17 = keys(workshop, "D-1005")
    assert under_17 - under_16 == {("finish.colour", "/finish/decal_colour")}
    assert under_17 == {
        ("fit.hole-count", "/rear/hub"),
        ("fit.spoke-head", "/rear/spoke"),
        ("load.mass-missing", "/use/rider_kg"),
        ("finish.decal-size", "/finish/decal_size"),
        ("finish.colour", "/finish/decal_colour"),
        ("order.price-member", "/price"),
    }


@pytest.mark.parametrize(
    ("spoke", "rider_kg", "is_held"),
    [("SJ15", 91, True), ("SJ15", 92, False), ("SJ18", 92, True), ("SJB9", 92, True)],
)
def test_the_new_rule_keeps_thin_spokes_under_light_loads(
    workshop: Workshop, spoke: str, rider_kg: int, is_held: bool
):
    edition_17(workshop)
    order = example("D-1001", **{"/use/rider_kg": rider_kg})
    for position in ("front", "rear"):
        order[position]["spoke"] = {"left": spoke, "right": spoke}
    found = {each.code for each in check_posted(workshop, raw(order)).findings}
    assert ("rule.light-spokes-light-load" not in found) is is_held


@pytest.mark.parametrize("name", ["D-1001", "D-1002", "D-1009", "D-1010", "D-1011"])
def test_the_orders_of_the_story_can_still_be_built(workshop: Workshop, name: str):
    edition_17(workshop)
    assert keys(workshop, name) == set()


def test_the_edition_after_it_is_held_up_by_centimetres(workshop: Workshop):
    edition_17(workshop)
    draft = drafted(workshop, EXAMPLES / "editions" / "18.json")
    assert (draft.number, draft.edition) == (18, None)
    (finding,) = draft.findings
    at = "/parts/rims.toml/OR50D/seat_diameter_mm"
    assert (finding.code, finding.at) == ("data.out-of-range", at)
    assert finding.try_ == (Change(at, (539.6,)),)
    signed: dict[str, Any] = {"author": AUTHOR, "approver": SECOND, "reason": "a new rim"}
    refused = publish(workshop, version=draft.version, **signed)
    assert isinstance(refused, Refused)
    assert refused.findings == draft.findings
    assert running_edition(workshop).number == 17

    edit = PutPart("OR50D", values={"seat_diameter_mm": 539.6})
    mended = change(workshop, (edit,), version=draft.version, by=AUTHOR).draft
    assert mended is not None
    assert mended.edition is not None, mended.findings
    rim = mended.edition.rims["OR50D"]
    assert (rim.state, rim.evidence) == ("draft", None)
    assert mended.edition.hubs["KR1"].holes == (24,)


def test_a_drilling_that_ends_closes_the_orders_that_want_it(workshop: Workshop):
    edition_17(workshop)
    draft = drafted(workshop, EXAMPLES / "editions" / "18.json")
    edit = PutPart("OR50D", values={"seat_diameter_mm": 539.6})
    mended = change(workshop, (edit,), version=draft.version, by=AUTHOR).draft
    assert mended is not None
    order = example("D-1007", **{"/use/brake": "rim"})
    wanted = order["rear"]
    wanted |= {"hub": "KR1", "holes": 28}
    before = check_posted(workshop, raw(order)).findings
    signed: dict[str, Any] = {
        "author": AUTHOR,
        "approver": SECOND,
        "reason": "a new rim, an old drilling",
    }
    assert isinstance(publish(workshop, version=mended.version, **signed), Published)
    after = check_posted(workshop, raw(order)).findings
    places = [
        ("fit.hole-count", "/rear/hub") in {(e.code, e.at) for e in f} for f in (before, after)
    ]
    assert places == [False, True]


def test_the_blade_that_no_hub_takes_is_still_refused(workshop: Workshop):
    edition_17(workshop)
    found = keys(workshop, "refused/fit.blade")
    assert any(code == "fit.blade" for code, _ in found)
