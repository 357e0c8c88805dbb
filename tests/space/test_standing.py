"""Parts and rules that do nothing, and parts that are the only choice left."""

from __future__ import annotations

from typing import Any

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import check_document
from buildsheet.space.builds import builds_of
from buildsheet.space.drilling import drilling_needs
from buildsheet.space.finishes import finish_space
from buildsheet.space.standing.contradictions import contradictions
from buildsheet.space.standing.parts import DeadPart, dead_parts, only_choices
from buildsheet.space.standing.rules import idle_rules
from buildsheet.space.standing.used import used
from tests.space.editions import demo, small, with_part, with_rule, without_part
from tests.workshops import example

BLADES_TRIED = 20


def dead(edition: Edition) -> set[tuple[str, str]]:
    return {(each.code, each.variant) for each in dead_parts(edition, used(edition))}


def test_the_wide_blade_is_the_demos_dead_part():
    assert dead_parts(demo(), used(demo())) == (DeadPart("spokes", "SJB12", ""),)


def test_no_check_accepts_a_wheel_with_the_dead_spoke():
    """Sound wheels from all over the small demo, with the blade on either side."""
    edition = small(demo())
    for position, builds in builds_of(edition).items():
        assert len(builds)
        for build in builds.builds[:: len(builds) // BLADES_TRIED + 1]:
            for side in ("left", "right"):
                wheel = build.members()
                spoke: Any = wheel["spoke"]
                wheel["spoke"] = {**spoke, side: "SJB12"}
                order = example("D-1001", **{f"/{position}": {**ordered(position), **wheel}})
                assert not check_document(order, edition).buildable


def ordered(position: str) -> dict[str, Any]:
    wheel = example("D-1001")[position]
    return {name: wheel[name] for name in ("nipple_colour", "driver") if name in wheel}


def test_what_is_used_is_used_by_a_wheel_that_can_be_built():
    edition = small(demo())
    seen = used(edition)
    for builds in builds_of(edition).values():
        for build, number in zip(builds, finish_space(builds).ways(), strict=True):
            if number:
                assert seen.takes(build.rim, str(build.holes))
                assert seen.takes(build.hub, str(build.holes))
                assert seen.takes(build.nipple)


def test_a_drilling_that_no_hub_goes_with_is_dead_and_its_rim_is_not():
    edition = small(demo(), hubs=("KF2", "KR4"))
    assert ("OR33D", "20") in dead(edition)
    assert ("OR33D", "") not in dead(edition)


def test_a_colour_whose_other_hand_has_ended_is_dead():
    edition = with_part(small(demo()), "decals", "PLUM-S-L", state="ended")
    assert ("PLUM-S-R", "") in dead(edition)
    assert ("PLUM-S-L", "") not in dead(edition)  # it is not on offer
    assert ("PLUM-L-R", "") not in dead(edition)


def test_the_last_hub_of_a_kind_becomes_the_only_choice():
    full = small(demo(), hubs=("KF2", "KF4", "KR2", "KR4"))
    before = {(each.position, each.rim, each.holes, each.kind) for each in only_choices(full)}
    assert ("rear", "OR33D", 28, "hubs") in before
    assert ("rear", "OR33D", 24, "hubs") not in before
    after = {
        (each.rim, each.holes, each.code)
        for each in only_choices(without_part(full, "hubs", "KF2"))
    }
    assert (
        "OR33D",
        24,
        "KF4",
    ) not in after  # no other front hub is on offer: there is no choice at all


def rules(edition: Edition) -> dict[str, str]:
    return {each.id: each.standing for each in idle_rules(edition)}


@pytest.mark.parametrize(
    ("standing", "needs", "when"),
    [
        ("never-fails", "rim.depth_mm > 10.0", None),
        ("never-fails", "use.rider_kg <= 250.0", None),
        ("always-fails", "rim.depth_mm > 100.0", None),
        ("never-asked", "rim.depth_mm > 30.0", "hub.mass_g > 900.0"),
        ("", "rim.depth_mm > 40.0", None),
        ("", "use.system_kg <= 85.5", None),
        ("", 'wheel.nipple_colour == "black"', "nipple.mass_g > 0.3"),
        ("", "plan.left_tension_n < 1149.0", None),
        ("", "plan.left_tension_n > 0.0 && use.class >= 2", None),
    ],
)
def test_idle_rules_are_told_apart(standing: str, needs: str, when: str | None):
    more = {} if when is None else {"when": when}
    edition = with_rule(small(demo()), "new", scope="wheel", needs=needs, at="rim", **more)
    assert rules(edition).get("new", "") == standing


def test_a_rule_is_idle_only_over_wheels_that_can_be_built():
    """No sound wheel has the wide blade, so a rule against it refuses nothing."""
    edition = with_rule(
        small(demo()), "new", scope="wheel", needs='spoke.code != "SJB12"', at="spoke"
    )
    assert rules(edition)["new"] == "never-fails"


def test_two_rules_that_leave_nothing_together_contradict_each_other():
    edition = small(demo())
    edition = with_rule(
        edition,
        "one",
        scope="wheel",
        needs='nipple.code == "NA12" || rim.code != "OR33D"',
        at="rim",
    )
    assert not contradictions(edition)
    edition = with_rule(edition, "other", scope="wheel", needs='nipple.code == "NA14"', at="rim")
    found = {(each.position, each.rim, each.rules) for each in contradictions(edition)}
    assert found == {(position, "OR33D", ("one", "other")) for position in ("front", "rear")}


def test_a_rule_that_leaves_nothing_by_itself_contradicts_no_other():
    edition = with_rule(small(demo()), "one", scope="wheel", needs="rim.depth_mm > 200.0", at="rim")
    edition = with_rule(edition, "other", scope="wheel", needs='nipple.code == "NA14"', at="rim")
    assert not contradictions(edition)


def test_three_rules_may_contradict_where_no_two_do():
    edition = small(demo(), spokes=("SSB9",), hubs=("KF4",))
    for name, colour in (("a", "black"), ("b", "silver"), ("c", "red")):
        needs = f'wheel.nipple_colour != "{colour}"'
        edition = with_rule(edition, name, scope="wheel", needs=needs, at="nipple_colour")
    found = {each.rim: each.rules for each in contradictions(edition)}
    # NA14, the only nipple for OR58D here, is made in black and silver alone
    assert found == {"OR33D": ("a", "b", "c"), "OR58D": ("a", "b")}


def test_a_program_of_another_rim_is_unused_and_a_missing_one_is_asked_for():
    edition = small(demo())
    gone = without_part(edition, "programs", "OR33D-24F-X")
    (need,) = (each for each in drilling_needs(gone) if each.unserved)
    assert need.of.name == "OR33D 24 front, external"
    (axes,) = need.missing
    made = edition.programs["OR33D-24F-X"]
    assert axes.left_lateral_deg == pytest.approx(made.left_lateral_deg, abs=1.0)
    assert axes.right_lateral_deg == pytest.approx(made.right_lateral_deg, abs=1.0)
    unused = {code for each in drilling_needs(edition) for code in each.unused}
    hidden = {code for code, each in edition.programs.items() if each.drilling == "hidden"}
    assert unused == {
        "OR33D-28R-X",
        *hidden,
    }  # nothing here has 28 holes behind, or a hidden nipple
