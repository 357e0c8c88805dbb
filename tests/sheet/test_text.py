"""Every figure that a builder needs is in the file's text, with its side named by word and feature."""

from __future__ import annotations

import re
from dataclasses import replace
from math import floor

import pytest

from buildsheet.sheet.content.rounding import TIMES
from buildsheet.sheet.layout.primitives import Outline
from buildsheet.sheet.render import pages
from buildsheet.units import kgf
from tests.sheet.pictures import finding, pdf_text, texts, words
from tests.sheet.wheels import WHEELS, request_of

FEATURES = ("disc side", "gear side", "plain side")


@pytest.mark.parametrize("name", WHEELS)
def test_counts_lengths_and_tensions_of_both_sides_are_in_the_text(name):
    request = request_of(name)
    found, plan = pdf_text(request), request.plan
    for spokes, tension_n in (
        (plan.spokes.left, plan.tension.left_n),
        (plan.spokes.right, plan.tension.right_n),
    ):
        assert re.search(rf"\b{spokes.count} ?spokes\b", found)
        assert re.search(rf"\b{spokes.stock_mm} ?mm\b", found)
        assert f"computed {spokes.target_mm:.1f}" in found
        assert re.search(rf"\b{round(tension_n / 10) * 10} ?N\b", found)
        assert f"{round(kgf(tension_n))} kgf" in found


@pytest.mark.parametrize("name", WHEELS)
def test_stop_is_printed_in_both_units_and_never_rounded_up(name):
    request = request_of(name)
    found, stop_n = pdf_text(request), request.plan.tension.stop_n
    newtons = re.search(r"STOP ?(\d+) ?N", found)
    assert newtons is not None
    assert stop_n - 10 < int(newtons[1]) <= stop_n
    assert f"{floor(kgf(stop_n) + 1e-9)} kgf at most" in found


@pytest.mark.parametrize("name", WHEELS)
@pytest.mark.parametrize("page", [0, 1])
def test_sides_are_named_by_word_and_feature(name, page):
    request = request_of(name)
    found = words(request, page)
    assert "LEFT" in found
    assert "RIGHT" in found
    for spokes in (request.plan.spokes.left, request.plan.spokes.right):
        assert spokes.feature in FEATURES
        assert spokes.feature in found


@pytest.mark.parametrize("name", WHEELS)
@pytest.mark.parametrize("page", [0, 1])
def test_every_rim_hole_has_its_number_once_a_picture(name, page):
    request = request_of(name)
    shown = [text for text in texts(pages(request)[page]) if text.text.isdigit()]
    numbers = {text.text for text in shown}
    assert {str(hole) for hole in range(1, request.plan.holes + 1)} <= numbers


def test_the_kind_of_every_part_to_pick_is_named():
    found = pdf_text(request_of("asymmetric rear"))
    for part in ("rim OR30G 32h", "hub KR3 32h", "driver B", "NB12 silver", "decals LAGOON"):
        assert part in found
    assert f"caps {request_of('asymmetric rear').plan.end_caps}" in found
    assert f"32 {TIMES} NB12" in found


def test_decal_sets_are_named_by_hand_on_the_record_side():
    found = pdf_text(request_of(), page=1)
    assert "LEFT LAGOON-S-L" in found
    assert "RIGHT LAGOON-S-R" in found


def test_no_decals_are_asked_for_where_the_order_has_none():
    assert "ecal" not in pdf_text(request_of(decals=None))


def test_the_first_four_spokes_are_said_in_words():
    found = pdf_text(request_of("disc front"))
    for spoke in request_of("disc front").plan.lacing[:4]:
        assert re.search(rf"hub hole {spoke.hub_hole} {spoke.run},? head {spoke.head}", found)


def test_the_view_is_named():
    assert re.search(r"seen from .*the RIGHT", pdf_text(request_of()))


@pytest.mark.parametrize("name", WHEELS)
def test_only_an_asymmetric_rim_gets_the_cue_which_way_it_lies(name):
    request = request_of(name)
    assert ("rim bed on THIS side" in pdf_text(request)) is bool(request.plan.bed_offset_mm)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(
    ("name", "side"), [("asymmetric rear", "left"), ("asymmetric front", "right")]
)
def test_the_cue_stands_in_the_column_of_the_side_the_bed_lies_on(name, side, paper):
    page = pages(request_of(name, paper=paper))[0]
    found = [text for text in texts(page) if text.text.startswith("rim bed")]
    assert len(found) == 1
    assert (found[0].x_mm < page.w_mm / 2) is (side == "left")
    lean = [each for each in page.ink if isinstance(each, Outline) and each.width_mm == 0.8]
    assert len(lean) == 1, "the section through the rim is drawn beside the words"
    xs = [x for x, _ in lean[0].points]
    middle = (min(xs) + max(xs)) / 2
    deepest = max(lean[0].points, key=lambda point: point[1])
    assert (deepest[0] < middle) is (side == "left")


def test_a_house_caution_is_always_there_whatever_else_is_printed():
    for findings in ((), tuple(finding("caution", f"Warning number {n}.") for n in range(30))):
        found = pdf_text(request_of("asymmetric rear", paper="Letter", findings=findings))
        assert "Never above STOP" in found
        assert "Glasses on" in found


def test_a_caution_of_the_order_is_printed_where_it_is_built_from():
    found = pdf_text(request_of(findings=(finding("caution", "Spokes look alike: two bags."),)))
    assert "CAUTION Spokes look alike: two bags." in found


def test_cautions_without_room_are_counted_aloud():
    many = tuple(finding("caution", f"Warning number {n} of this order.") for n in range(30))
    found = pdf_text(request_of(findings=many))
    shown = len(re.findall(r"Warning number", found))
    left_out = re.search(r"… (\d+) more", found)
    assert left_out is not None
    assert shown + int(left_out[1]) == 30


def test_every_caution_stands_in_full_on_the_record_side():
    says = "Local law asks for more than these decals can give. " * 4 + "Last word: OMEGA."
    assert "OMEGA" in pdf_text(request_of(findings=(finding("caution", says),)), page=1)


def test_notes_for_other_people_are_not_printed():
    assert "manual M7" not in pdf_text(request_of(findings=(finding("note", "manual M7"),)))


def test_how_hard_the_tyre_may_be_pumped_stands_on_the_record_side():
    says = "Never above 5 bar (73 psi) with a 32 mm tyre on rim OR33D."
    limit = replace(finding("note", says), code="tyre.pressure")
    found = pdf_text(request_of(findings=(limit,)), page=1)
    assert says in found
    assert says not in pdf_text(request_of(), page=1)


def test_a_nipple_that_is_turned_from_the_tyre_side_says_so_among_the_checks():
    assert "key 5.5 at tyre" in pdf_text(request_of("hidden-nipple rear"))
    assert "at tyre" not in pdf_text(request_of("disc front"))


def test_the_record_is_not_judged_until_somebody_ticks_a_verdict():
    found = pdf_text(request_of(), page=1)
    assert "NOT JUDGED" in found
    assert "judged by" in found
