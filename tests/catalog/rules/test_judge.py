"""A verdict: holds, fails, cannot be judged, not asked; and a missing fact never lets anything pass."""

from __future__ import annotations

from typing import Any

import pytest

from buildsheet.catalog.parts import Part
from buildsheet.catalog.rules.asking import ask
from buildsheet.catalog.rules.facts import declared
from buildsheet.catalog.rules.judge import judge, reads
from buildsheet.catalog.rules.rule import Fact
from buildsheet.catalog.rules.saying import said
from buildsheet.catalog.rules.wheel_facts import Facts, of_part, wheel_facts
from tests.catalog.demo_texts import demo_edition
from tests.catalog.rules.written import rule


def outcome(facts: dict[str, Fact], **keys: Any) -> str:
    return judge(rule(**keys), facts).outcome


@pytest.mark.parametrize(
    ("when", "needs", "facts", "wanted"),
    [
        (None, "rim.depth_mm <= 50.0", {"rim.depth_mm": 33.0}, "holds"),
        (None, "rim.depth_mm <= 50.0", {"rim.depth_mm": 58.0}, "fails"),
        (None, "rim.depth_mm <= 50.0", {}, "unknown"),
        (None, "rim.depth_mm <= 50.0", {"rim.depth_mm": float("nan")}, "unknown"),
        (None, "rim.depth_mm <= 50.0", {"rim.depth_mm": 33}, "holds"),
        (None, "rim.depth_mm <= 50.0", {"rim.depth_mm": "33"}, "unknown"),
        ("use.class == 1", "rim.depth_mm <= 50.0", {"use.class": 2}, "not-asked"),
        ("use.class == 1", "rim.depth_mm <= 50.0", {"use.class": 1}, "unknown"),
        ("use.class == 1", "rim.depth_mm <= 50.0", {"rim.depth_mm": 58.0}, "unknown"),
        ("use.class == 1", "rim.depth_mm <= 50.0", {"rim.depth_mm": 33.0}, "holds"),
        (None, "use.class == 1 || rim.depth_mm <= 50.0", {"use.class": 1}, "holds"),
        (None, "use.class == 1 && rim.depth_mm <= 50.0", {"use.class": 2}, "fails"),
        (None, "24 in rim.holes", {"rim.holes": (20, 24)}, "holds"),
        (None, "hub.drivers.exists(d, d == 'B')", {"hub.drivers": ()}, "fails"),
        (None, "wheel.radial", {"wheel.radial": False}, "fails"),
    ],
)
def test_a_verdict(when: str | None, needs: str, facts: dict[str, Fact], wanted: str):
    assert outcome(facts, when=when, needs=needs) == wanted


def test_what_is_missing_is_named_and_nothing_else():
    verdict = judge(
        rule(when="use.class == 1", needs="rim.depth_mm <= hub.hole_mm && hub.slot_mm > 0.0"),
        {"use.class": 1, "hub.slot_mm": 1.0, "rim.depth_mm": 33.0},
    )
    assert verdict.missing == ("hub.hole_mm",)
    assert verdict.why == "hub.hole_mm is not known"


def test_a_rule_reads_the_facts_of_both_conditions_and_no_others():
    read = reads(
        rule(
            when="use.class in [1, 2] && rim.holes.all(h, h > 20)",
            needs="rim.name != 'hub.name' && rim.depth_mm > 3.0 // hub.hole_mm",
        )
    )
    assert read == {"use.class", "rim.holes", "rim.name", "rim.depth_mm"}


def parts_of(**codes: str) -> dict[str, Part | None]:
    edition = demo_edition()
    kinds = {
        "rim": edition.rims,
        "hub": edition.hubs,
        "left_spoke": edition.spokes,
        "right_spoke": edition.spokes,
        "nipple": edition.nipples,
        "washer": edition.washers,
        "driver": edition.drivers,
    }
    return {root: kinds[root][code] for root, code in codes.items()}


BLADE = rule(needs="spoke.blade_mm <= hub.hole_mm", says="{spoke.code} in {hub.code}", at="spoke")


def test_spokes_that_are_the_same_are_asked_once():
    facts = Facts(parts_of(hub="KF2", left_spoke="SJB12", right_spoke="SJB12"))
    (asked,) = ask(BLADE, facts)
    assert (asked.side, asked.verdict.outcome) == (None, "fails")
    assert said(BLADE.says, asked.facts) == "SJB12 in KF2"


def test_spokes_that_differ_are_asked_side_by_side():
    facts = Facts(parts_of(hub="KF2", left_spoke="SJB9", right_spoke="SJB12"))
    answers = ask(BLADE, facts)
    assert [(each.side, each.verdict.outcome) for each in answers] == [
        ("left", "holds"),
        ("right", "fails"),
    ]
    assert said(BLADE.says, answers[1].facts) == "SJB12 in KF2"


@pytest.mark.parametrize(
    ("needs", "code"), [("washer.thickness_mm <= 0.4", "W05"), ("driver.mass_g < 1.0", "A")]
)
def test_a_rule_about_washer_or_driver_is_asked_of_wheels_that_have_one(needs: str, code: str):
    root = needs.split(".", maxsplit=1)[0]
    (without,) = ask(rule(needs=needs), Facts({root: None}))
    (having,) = ask(rule(needs=needs), Facts(parts_of(**{root: code})))
    assert (without.verdict.outcome, having.verdict.outcome) == ("not-asked", "fails")


def test_every_plain_attribute_of_a_part_is_a_fact_of_its_type():
    python: dict[str, Any] = {"bool": bool, "int": int, "double": (int, float), "string": str}
    edition = demo_edition()
    seen: set[str] = set()
    for root, parts in (("rim", edition.rims), ("hub", edition.hubs), ("spoke", edition.spokes)):
        for part in parts.values():
            facts = of_part(root, part)
            assert facts[f"{root}.code"] == part.code
            seen |= facts.keys()
            for name, value in facts.items():
                kind = declared("wheel")[name]
                if kind.startswith("list("):
                    assert isinstance(value, tuple), name
                else:
                    assert isinstance(value, python[kind]), name
    assert {"hub.left_flange.circle_mm", "hub.left_seats.seat_ahead_mm", "rim.holes"} <= seen
    assert "rim.system_limits" not in seen, "a table of limits is no fact"


def test_a_straight_pull_hub_leaves_no_crossings_and_is_not_radial():
    facts = wheel_facts(position="front", holes=24, parts=parts_of(hub="KF4"), crossings=(2, 2))
    assert facts["wheel.straight_pull"] is True
    assert facts["wheel.radial"] is False
    assert "wheel.left_crossings" not in facts


def test_the_erd_counts_the_washer():
    parts = parts_of(rim="OR33D", nipple="NA12", washer="W05")
    facts = wheel_facts(position=None, holes=None, parts=parts)
    assert facts["wheel.erd_mm"] == pytest.approx(573.6 + 2 * (1.6 + 0.5))
    assert facts["wheel.has_washer"] is True


def test_scopes_have_the_facts_that_they_can_know():
    assert "other.rim.brake" in declared("set")
    assert "other.rim.brake" not in declared("wheel")
    assert {each.split(".")[0] for each in declared("order")} == {"use", "order", "finish"}
    assert {each.split(".")[0] for each in declared("part")} == {
        *("rim", "hub", "spoke", "nipple", "washer", "driver")
    }
