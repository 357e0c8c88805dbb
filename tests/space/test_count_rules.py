"""An edition's own rules take part in the count, whatever they read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.rule import Rule
from buildsheet.orders.checks import QUESTIONS
from buildsheet.orders.judging import Judgement
from buildsheet.orders.text import sift
from buildsheet.space.builds import builds_of, sound
from buildsheet.space.count import conditions, count
from buildsheet.space.questions import RULES_FAMILY, askings_of, rule_askings
from tests.orders.workshop import demo
from tests.space.random_orders import altered, posed
from tests.space.small_editions import cut, one_of_a_kind
from tests.space.test_count import buildable_one_by_one, sets_one_by_one

RULES: dict[str, dict[str, Any]] = {
    "of a part": {"scope": "part", "needs": "hub.mass_g < 200.0", "at": "hub"},
    "of a spoke": {"scope": "part", "needs": "spoke.blade_mm > 0.0", "at": "spoke"},
    "of a part that is silent": {"scope": "part", "needs": "hub.rotor_max_mm > 100", "at": "hub"},
    "of washers and place": {
        "scope": "wheel",
        "when": "wheel.left_crossings == 2",
        "needs": "wheel.has_washer == (wheel.position == 'front')",
        "at": "washer",
    },
    "of a plan": {"scope": "wheel", "needs": "plan.left_tension_n >= 700.0", "at": "rim"},
    "of a plan and a use": {
        "scope": "wheel",
        "when": "use.class <= 3",
        "needs": "plan.mass_g <= 638.0 && nipple.material == 'alloy'",
        "at": "rim",
    },
    "of a stock length": {"scope": "wheel", "needs": "plan.left_stock_mm != 278.0", "at": "spoke"},
    "of every class but one": {"scope": "wheel", "needs": "use.class == 2", "at": "rim"},
    "of no class": {"scope": "wheel", "needs": "use.class == 4", "at": "rim"},
    "of a colour": {"scope": "wheel", "needs": "wheel.nipple_colour == 'black'", "at": "nipple"},
    "of a tyre between": {
        "scope": "wheel",
        "needs": "use.tyre_width_mm > 30.2 && use.tyre_width_mm < 30.3",
        "at": "rim",
    },
    "of a tyre reckoned": {
        "scope": "wheel",
        "needs": "use.tyre_width_mm >= rim.inner_width_mm + 13.0",
        "at": "rim",
    },
    "of a washer, where there is one": {
        "scope": "wheel",
        "needs": "washer.thickness_mm > 1.0",
        "at": "washer",
    },
    "of a driver body": {
        "scope": "wheel",
        "needs": "driver.smallest_sprocket < 10",
        "at": "driver",
    },
    "of each side's spokes": {
        "scope": "wheel",
        "when": "wheel.position == 'rear'",
        "needs": "spoke.section_mm2 >= 2.0 || wheel.holes > 24",
        "at": "spoke",
    },
    "of decals": {"scope": "wheel", "needs": "finish.decal_colour != 'LAGOON'", "at": "rim"},
    "of riders": {"scope": "wheel", "needs": "use.system_kg > 30.0", "at": "rim"},
    "of the order": {"scope": "order", "needs": "use.tyre_system != 'tubeless'", "at": "use/class"},
    "of a kind": {"scope": "order", "needs": "order.kind != 'front'", "at": "kind"},
    "of a set's spokes": {
        "scope": "set",
        "when": "wheel.position == 'front'",
        "needs": "left_spoke.blade_mm == other.right_spoke.blade_mm",
        "at": "spoke",
    },
    "of a set's plan": {
        "scope": "set",
        "needs": "other.wheel.has_washer || plan.ratio > 0.62",
        "at": "rim",
    },
    "of a set's colours": {
        "scope": "set",
        "needs": "wheel.nipple_colour == other.wheel.nipple_colour",
        "at": "nipple_colour",
    },
    "until an edition that is over": {"scope": "wheel", "needs": "false", "at": "rim", "until": 3},
    "that only cautions": {
        "scope": "wheel",
        "needs": "use.class == 4",
        "at": "rim",
        "severity": "caution",
    },
}


def a_rule(name: str, **values: Any) -> Rule:
    told = {"says": "It does not go.", "reason": "A test.", "source": "none", "owner": "tests"}
    examples = {"accepts": ({"holes": 24},), "refuses": ({"holes": 20},)}
    return Rule.model_validate({"id": name, "severity": "block", **told, **examples, **values})


def ruled(edition: Edition, *names: str) -> Edition:
    rules = {f"r{number}": a_rule(f"r{number}", **RULES[name]) for number, name in enumerate(names)}
    return replace(edition, rules=rules, digest=f"{edition.digest}+{names}")


def unruled(name: str) -> Edition:
    """One of a kind, with a second colour or spoke, or an unknown figure, to choose by."""
    edition = one_of_a_kind()
    if "silent" in name:
        return altered(edition, "hubs", "KF2", "rotor_max_mm", None)
    if "colour" in name:
        return altered(edition, "nipples", "NA12", "colours", ("black", "silver"))
    spokes = {code: demo().spokes[code] for code in ("SJB9", "SJ15")}
    return replace(edition, spokes=spokes, digest=f"{edition.digest}+SJ15")


@pytest.mark.parametrize("name", RULES)
def test_a_rule_is_counted_as_it_is_judged(name: str):
    edition = ruled(unruled(name), name)
    assert count(edition).by_rim == buildable_one_by_one(edition)


@pytest.mark.parametrize("name", [name for name in RULES if "set" in name])
def test_a_rule_of_sets_is_counted_as_it_is_judged(name: str):
    edition = ruled(unruled(name) if "colour" in name else one_of_two_spokes(), name)
    counted = count(edition)
    assert counted.sets == sets_one_by_one(edition)
    assert 0 < counted.sets < count(replace(edition, rules={}, digest="none")).sets


@pytest.mark.parametrize("name", [name for name in RULES if "set" in name])
def test_wheels_that_a_rule_of_sets_cannot_tell_apart_are_one(
    name: str, monkeypatch: pytest.MonkeyPatch
):
    edition = ruled(unruled(name), name)
    counted = count(edition)
    monkeypatch.setattr(conditions, "MOST_PAIRS", 0)
    assert count(edition) == counted


@pytest.mark.parametrize(
    "needs",
    [
        "left_spoke.blade_mm + nipple.length_mm + hub.mass_g >= other.rim.depth_mm - 99.0"
        " && other.nipple.mass_g < 9.0 && other.hub.mass_g < 900.0 && other.right_spoke.blade_mm < 7.0",
        "plan.mass_g < 2000.0 && other.rim.depth_mm > 3.0 && other.hub.mass_g > 4.0",
    ],
)
def test_a_rule_that_reads_much_of_both_wheels_is_counted_in_the_demo(needs: str):
    loose = a_rule("loose", scope="set", needs=needs, at="rim")
    edition = replace(demo(), rules={"loose": loose}, digest=needs)
    assert count(edition).sets == count(demo()).sets


def test_a_rule_of_sets_is_no_trouble_where_there_is_no_wheel():
    edition = altered(ruled(one_of_a_kind(), "of a set's plan"), "rims", "OR33D", "state", "ended")
    assert count(edition).sets == count(edition).buildable == 0


def one_of_two_spokes() -> Edition:
    """So few wheels that every set can be judged."""
    return cut(unruled("of a spoke"), washers=("W05",))


def test_most_of_these_rules_change_the_count():
    alike = set()
    for name in RULES:
        before, after = count(ruled(unruled(name))), count(ruled(unruled(name), name))
        if after.buildable == before.buildable:
            alike.add(name)
    assert alike == {
        # another use will do
        "of every class but one",
        "of a tyre between",
        "of a tyre reckoned",
        "of the order",
        # not asked of a wheel alone
        "of a set's spokes",
        "of a set's plan",
        "of a set's colours",
        # nothing is refused
        "until an edition that is over",
        "that only cautions",
    }
    nobody = [name for name in RULES if not count(ruled(unruled(name), name)).buildable]
    assert set(nobody) == {"of no class", "of decals", "of riders"}


@settings(max_examples=60)
@given(posed(), st.lists(st.sampled_from(sorted(RULES)), min_size=1, max_size=4, unique=True))
def test_rules_block_an_order_where_one_of_their_askings_does(pose, names: list[str]):
    edition, document = ruled(pose[0], *names), pose[1]
    judged = Judgement(sift(document), edition)
    rules = [each for each in QUESTIONS if each.check.startswith(RULES_FAMILY)]
    blocked = {
        raised.finding.code
        for question in rules
        for raised in judged.answer(question)
        if raised.finding.blocks
    }
    asked = {
        finding.code
        for each in rule_askings(edition)
        if (finding := each.block(document, edition)) is not None
    }
    assert asked == blocked


def test_the_same_rules_give_the_same_askings():
    edition = ruled(one_of_a_kind(), "of a plan")
    again = replace(edition, house=edition.house)
    assert all(
        one is other for one, other in zip(askings_of(edition), askings_of(again), strict=True)
    )


@pytest.mark.parametrize("name", RULES)
def test_builds_that_rules_refuse_whatever_the_use_are_masked(name: str):
    edition = ruled(one_of_a_kind(), name)
    for position, builds in builds_of(edition).items():
        mask = sound(builds, edition)
        own = [
            each
            for each in rule_askings(edition)
            if each.question.position == position
            and all(
                at.split("/")[2] not in ("driver", "nipple_colour")
                for at in each.reads
                if at.startswith(f"/{position}/")
            )
            and not any(at.startswith(("/use", "/finish", "/kind", "/market")) for at in each.reads)
        ]
        one_by_one = [
            not any(each.block({position: build.members()}, edition) for each in own)
            for build in builds
        ]
        assert np.array_equal(mask, np.array(one_by_one))
