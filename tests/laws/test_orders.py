"""What must hold for every order, sensible or not. The parts are those of the invented workshop."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.findings import SEVERITIES
from buildsheet.orders.check import Checked
from buildsheet.orders.judging import Judgement
from buildsheet.orders.text import sift
from tests.orders.workshop import (
    ABSENT,
    Document,
    answer,
    answer_to_mapping,
    codes,
    demo,
    disc_set,
    keys,
    put,
    put_values,
)

EDITION = demo()


def either(*usual: str, rare: tuple[str, ...] = ()) -> st.SearchStrategy[str]:
    return st.sampled_from([*usual, *usual, *rare])


def sides(each: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """The same on both sides three times out of four."""
    alike = each.map(lambda value: {"left": value, "right": value})
    return st.one_of(alike, alike, alike, st.fixed_dictionaries({"left": each, "right": each}))


@st.composite
def wheels(draw: st.DrawFn, position: str) -> Document:
    """Any wheel whose codes the catalog knows, whether or not its parts go together."""
    hubs = [code for code, hub in EDITION.hubs.items() if hub.position == position]
    hub = draw(either(*hubs, rare=tuple(EDITION.hubs)))
    straight = EDITION.hubs[hub].left_seats is not None
    wheel: Document = {
        "rim": draw(st.sampled_from(list(EDITION.rims))),
        "holes": draw(st.sampled_from([*EDITION.hubs[hub].holes, 20, 24, 28, 32])),
        "hub": hub,
        "spoke": draw(sides(either("SJB9", "SJ18", rare=tuple(EDITION.spokes)))),
        "nipple": draw(st.sampled_from(list(EDITION.nipples))),
        "nipple_colour": draw(either("black", "silver", rare=("red",))),
    }
    if straight != draw(st.integers(0, 9).map(lambda each: each == 0)):
        wheel["spoke"] = {"left": "SSB9", "right": "SSB9"} if straight else wheel["spoke"]
    else:
        wheel["crossings"] = draw(sides(st.integers(0, 4)))
    if draw(st.integers(0, 5)) == 0:
        wheel["washer"] = "W05"
    if position == "rear":
        wheel["driver"] = draw(st.sampled_from(list(EDITION.drivers)))
    return wheel


@st.composite
def uses(draw: st.DrawFn) -> Document:
    brake = draw(either("disc", rare=("rim",)))
    return {
        "class": draw(st.sampled_from([1, 1, 2, 3, 5])),
        "rider_kg": draw(st.sampled_from([48, 70, 80, 95, 120])),
        "bike_kg": 8,
        "luggage_kg": draw(st.sampled_from([0, 6, 20])),
        "brake": brake,
        "rotor_mount": draw(st.sampled_from(["splined", "six-bolt"])),
        "front_axle": draw(st.sampled_from(["9x100", "12x100", "15x100", "15x110"])),
        "rear_axle": draw(st.sampled_from(["10x130", "12x142", "12x148"])),
        "cassette": {"spline": draw(st.sampled_from("ABC")), "smallest_sprocket": 11},
        "tyre_width_mm": draw(st.sampled_from([25, 28, 30, 35, 45])),
        "tyre_system": draw(either("tubeless", "clincher", rare=("tubular",))),
    }


@st.composite
def orders(draw: st.DrawFn) -> Document:
    """Any order of known codes over the demo space."""
    colours = sorted({each.colour for each in EDITION.decals.values()})
    kind = draw(st.sampled_from(["set", "front", "rear"]))
    order: Document = {
        "source": "shop-a",
        "number": "L-1",
        "revision": 1,
        "kind": kind,
        "market": draw(st.sampled_from(list(EDITION.house.markets))),
        "use": draw(uses()),
        "finish": {"decal_colour": draw(st.sampled_from(colours))},
    }
    for position in ("front", "rear"):
        if kind in ("set", position):
            order[position] = draw(wheels(position))
    return order


JSON_VALUES = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(10**20), 10**20),
        st.floats(allow_nan=True),
        st.text(max_size=20),
        st.sampled_from(["OR33D", "KF2", "SJB9", "disc", "2031-05-20"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.one_of(st.text(max_size=8), st.just("price")), inner, max_size=4),
    ),
    max_leaves=12,
)

PLACES = (
    "/source /number /revision /kind /market /wanted_by /edition_seen /use /front /rear /finish "
    "/note /use/class /use/rider_kg /use/bike_kg /use/brake /use/rotor_mount /use/front_axle "
    "/use/cassette /use/cassette/spline /use/tyre_width_mm /use/tyre_system /front/rim "
    "/front/holes /front/hub /front/crossings /front/crossings/left /front/spoke "
    "/front/spoke/left /front/nipple /front/nipple_colour /front/washer /front/driver "
    "/rear/driver /rear/rim /rear/hub /finish/decal_colour /finish/decal_size /price /extra"
).split()


def judged(order: Document) -> dict[tuple[str, str], str]:
    """Severity by code and place, without the search for ways out."""
    judgement = Judgement(sift(order), EDITION)
    return {
        (raised.finding.code, raised.finding.at): raised.finding.severity
        for raised, _ in judgement.everything()
    }


def blocks(said: dict[tuple[str, str], str]) -> set[tuple[str, str]]:
    return {key for key, severity in said.items() if severity == "block"}


def is_sound(checked: Checked) -> bool:
    """Whether an answer keeps its own promises."""
    said = [(each.code, each.at, str(each.have.get("missing"))) for each in checked.findings]
    ranks = [SEVERITIES.index(each.severity) for each in checked.findings]
    json.dumps(checked.as_json(), allow_nan=False)
    return (
        len(said) == len(set(said))
        and ranks == sorted(ranks)
        and checked.buildable == (not codes(checked, "block"))
        and all(each.edition == EDITION.number for each in checked.findings)
        and (checked.order is not None or not checked.buildable)
    )


@given(orders())
@settings(max_examples=60)
def test_every_order_gets_a_sound_answer_and_always_the_same(order: Document):
    first = answer(order)
    assert is_sound(first)
    assert answer(order).findings == first.findings
    assert judged(order).keys() == keys(first)


@given(orders())
@settings(max_examples=40)
def test_a_buildable_order_has_a_plan_with_lengths_for_every_wheel(order: Document):
    checked = answer(order)
    if checked.buildable:
        assert set(checked.plans) == {"front", "rear"} & set(order)
        for plan in checked.plans.values():
            assert plan.spokes.left.stock_mm is not None
            assert plan.spokes.right.stock_mm is not None
            assert plan.drilling.program is not None


@given(orders())
@settings(max_examples=25)
def test_every_offer_clears_its_finding_and_blocks_nothing_new(order: Document):
    before = answer(order)
    for finding in before.findings:
        offers = [{change.at: change.values[-1]} for change in finding.try_]
        for offer in (*offers, *finding.together):
            after = judged(put_values(order, offer))
            assert (finding.code, finding.at) not in after, offer
            assert blocks(after) <= keys(before, "block"), offer


OF_PAIRS = {f"rule.{each.id}" for each in EDITION.rules.values() if each.scope == "set"}
"""What the demo's own rules say of two wheels that go together."""


@given(orders())
@settings(max_examples=40)
def test_a_wheel_of_a_set_is_judged_as_if_it_stood_alone(order: Document):
    if order["kind"] != "set":
        return
    whole = judged(order)
    for position, other in (("front", "rear"), ("rear", "front")):
        alone = judged(put(order, {"/kind": position, f"/{other}": ABSENT}))
        of_wheel = {
            key
            for key in whole
            if key[1].startswith(f"/{position}") and not key[0].startswith("pair.")
            if key[0] not in OF_PAIRS
        }
        assert of_wheel == {key for key in alone if key[1].startswith(f"/{position}")}


@given(orders(), st.integers(1, 60))
@settings(max_examples=40)
def test_a_heavier_rider_never_opens_what_was_closed(order: Document, more_kg: int):
    heavier = put(order, {"/use/rider_kg": order["use"]["rider_kg"] + more_kg})
    assert blocks(judged(order)) <= blocks(judged(heavier))


@given(orders())
@settings(max_examples=30)
def test_an_order_written_out_again_gets_the_same_answer(order: Document):
    checked = answer(order)
    assert checked.order is not None
    again = checked.order.model_dump(mode="json", by_alias=True, exclude_none=True)
    assert again == order
    assert answer(again).findings == checked.findings


@given(JSON_VALUES)
@settings(max_examples=150)
def test_any_json_at_all_gets_a_refusal_and_no_crash(value: object):
    checked = answer(json.dumps(value).encode())
    assert is_sound(checked)
    assert not checked.buildable


@given(st.binary(max_size=200))
@settings(max_examples=100)
def test_any_bytes_at_all_get_a_refusal_and_no_crash(raw: bytes):
    checked = answer(raw)
    assert is_sound(checked)
    assert not checked.buildable


@given(st.lists(st.tuples(st.sampled_from(PLACES), JSON_VALUES), min_size=1, max_size=4))
@settings(max_examples=150)
def test_any_value_at_any_place_of_a_good_order_gets_a_sound_answer(
    changes: list[tuple[str, object]],
):
    order = disc_set()
    for at, value in changes:
        way = at.rsplit("/", 1)[0]
        if isinstance(_at(order, way), dict):
            order = put(order, {at: value})
    assert is_sound(answer(json.dumps(order).encode()))
    assert keys(answer_to_mapping(order)) == keys(answer(json.dumps(order).encode()))


def _at(order: Document, at: str) -> object:
    inner: object = order
    for name in at.split("/")[1:]:
        inner = inner.get(name) if isinstance(inner, dict) else None
    return inner
