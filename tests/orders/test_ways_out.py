"""Ways out: what is offered has been proved, and what cannot help is not offered."""

from __future__ import annotations

import pytest

from buildsheet.orders.changes import changed, value_at, values_at
from buildsheet.orders.search import MOST_SETS, MOST_VALUES
from tests.orders.speaking import SPEAKING
from tests.orders.workshop import (
    ABSENT,
    Document,
    answer,
    demo,
    disc_set,
    edition_17,
    example,
    front_only,
    keys,
    put,
    put_values,
    sides,
    the,
    with_part,
)

DOCUMENTS = sorted(code for code, each in SPEAKING.items() if not isinstance(each.order(), bytes))


@pytest.mark.parametrize("code", DOCUMENTS)
def test_every_way_out_that_is_offered_clears_its_finding_and_blocks_nothing_new(code: str):
    speaking = SPEAKING[code]
    document, edition = speaking.order(), speaking.edition()
    assert isinstance(document, dict)
    before = answer(document, edition)
    for finding in before.findings:
        offers = [{change.at: value} for change in finding.try_ for value in change.values]
        for offer in (*offers, *finding.together):
            after = answer(put_values(document, offer), edition)
            assert (finding.code, finding.at) not in keys(after), offer
            assert keys(after, "block") <= keys(before, "block"), offer


def test_a_single_change_is_offered_where_one_helps():
    finding = the(answer(example("refused/fit.hole-count")), "fit.hole-count")
    assert [each.as_json() for each in finding.try_] == [{"at": "/front/holes", "values": [20, 24]}]
    assert finding.together == ()


def test_both_sides_are_changed_as_one_change():
    finding = the(answer(example("refused/fit.spoke-head")), "fit.spoke-head")
    assert finding.try_[0].values == (sides("SSB9"),)


def test_crossings_that_a_hub_dictates_are_taken_out_with_null():
    order = put(example("D-1002"), {"/front/crossings": sides(2)})
    finding = the(answer(order), "lacing.fixed-pattern")
    assert finding.try_[0].as_json() == {"at": "/front/crossings", "values": [None]}


def test_what_clears_a_finding_but_brings_another_block_is_not_offered():
    order = put(disc_set(), {"/front/hub": "KF4", "/front/crossings": ABSENT})
    finding = the(answer(order), "fit.spoke-head")
    values = {change.at: change.values for change in finding.try_}
    assert "/front/hub" not in values, "every flange hub would lack its pattern"
    assert values["/front/spoke"] == (sides("SSB9"),)


def test_pairs_begin_differently_so_that_there_is_a_choice():
    offers = the(answer(example("D-1008")), "load.use-class").together
    assert 1 < len(offers) <= MOST_SETS
    assert len({offer["/rear/rim"] for offer in offers}) == len(offers)


def test_nobody_is_told_to_weigh_less_or_to_ride_more_gently():
    for name in ("D-1006", "D-1008"):
        for finding in answer(example(name)).findings:
            places = {change.at for change in finding.try_}
            places |= {at for offer in finding.together for at in offer}
            assert not {at for at in places if at.endswith("_kg") or at == "/use/class"}


def test_a_part_that_takes_no_orders_is_not_offered():
    finding = the(answer(example("D-1005"), edition_17()), "finish.colour")
    offered = {value for change in finding.try_ for value in change.values}
    assert "PLUM" not in offered
    assert len(offered) >= 1


def test_no_more_values_are_offered_than_a_person_reads():
    order = put(disc_set(), {"/finish/decal_colour": "RAINBOW"})
    (change, *_) = the(answer(order), "finish.colour").try_
    assert len(change.values) == MOST_VALUES


def test_a_missing_member_is_offered_what_leads_to_a_wheel():
    finding = the(answer(put(disc_set(), {"/front/nipple": ABSENT})), "order.missing-member")
    assert [change.at for change in finding.try_] == ["/front/nipple"]
    assert finding.try_[0].values == ("NA12", "NA14", "NB12"), "the hidden one needs other holes"


def test_notes_ask_for_nothing():
    for finding in answer(disc_set()).findings:
        if finding.severity == "note":
            assert finding.try_ == ()


def test_a_change_makes_the_objects_on_its_way():
    document: Document = {"front": {"rim": "OR33D"}, "rear": None}
    after = changed(document, [("/front/spoke/left", "SJB9"), ("/rear/holes", 28)])
    assert after == {"front": {"rim": "OR33D", "spoke": {"left": "SJB9"}}, "rear": {"holes": 28}}
    assert document == {"front": {"rim": "OR33D"}, "rear": None}


def test_the_value_that_stands_there_is_not_offered():
    assert value_at(disc_set(), "/front/holes") == 24
    assert 24 not in values_at("/front/holes", demo(), disc_set())
    assert values_at("/use/rider_kg", demo(), disc_set()) == ()


def test_another_kind_of_hub_is_offered_with_its_spokes_and_without_a_pattern():
    ended = with_part(demo(), "hubs", "KF2", state="ended")
    finding = the(answer(front_only(), ended), "data.part-state")
    assert finding.try_ == ()
    assert {
        "/front/hub": "KF4",
        "/front/spoke": sides("SSB9"),
        "/front/crossings": None,
    } in finding.together


def test_a_market_that_is_served_clears_one_that_is_not():
    finding = the(answer(put(disc_set(), {"/market": "XX"})), "order.market")
    assert finding.try_[0].values == tuple(demo().house.markets)
