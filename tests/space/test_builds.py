"""Builds are all the wheels that no check refuses for their parts alone, with their plan's figures."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value
from buildsheet.orders.checks import QUESTIONS
from buildsheet.orders.posted import Posted
from buildsheet.space.builds import POSITIONS, WheelBuild, builds_of
from buildsheet.space.builds.pairs import pairs
from buildsheet.space.builds.walk import STRUCTURE, carries, sound_wheels
from buildsheet.space.questions import ASKINGS, BUILD
from tests.orders.workshop import demo, with_house, with_part
from tests.space.random_orders import altered
from tests.space.small_editions import one_of_a_kind, small_editions, wheels


def key_of(position: Position, wheel: dict[str, Any]) -> WheelBuild:
    crossings = wheel.get("crossings")
    return WheelBuild(
        position=position,
        rim=wheel["rim"],
        holes=wheel["holes"],
        hub=wheel["hub"],
        crossings=(crossings["left"], crossings["right"]) if crossings else None,
        spokes=(wheel["spoke"]["left"], wheel["spoke"]["right"]),
        nipple=wheel["nipple"],
        washer=wheel.get("washer"),
    )


def is_refused(position: Position, members: dict[str, Value], edition: Edition) -> bool:
    """By an asking that reads nothing but what a build is made of."""
    own = {f"/{position}/{member}" for member in BUILD}
    asked = (each for each in ASKINGS if own.issuperset(each.reads))
    return any(each.block({position: members}, edition) for each in asked)


@settings(max_examples=25)
@given(small_editions())
def test_builds_are_the_wheels_that_are_not_refused_one_by_one(edition: Edition):
    for position in POSITIONS:
        expected = set()
        for wheel in wheels(edition, position):
            if edition.hubs[wheel["hub"]].position == position:
                build = key_of(position, wheel)
                if not is_refused(position, build.members(), edition):
                    expected.add(build)
        assert set(builds_of(edition)[position]) == expected


def test_no_build_is_named_twice():
    for builds in builds_of(demo()).values():
        assert len(set(builds)) == len(builds) > 1000


def test_figures_are_those_of_the_plan():
    for position, builds in builds_of(demo()).items():
        for index in range(0, len(builds), 331):
            wheel = Posted({position: builds.builds[index].members()}, demo()).wheel(position)
            assert wheel is not None
            assert wheel.computed is not None
            computed, row = wheel.computed, builds.figures.row(index)
            assert row.left_exact_mm == computed.mechanics.sides.left.exact_mm
            assert row.right_target_mm == computed.mechanics.sides.right.target_mm
            assert row.left_stock_mm == computed.stock.left.stock_mm
            assert row.right_stock_mm == computed.stock.right.stock_mm
            assert (row.window_low_mm, row.window_high_mm) == computed.stock.right.window_mm
            assert (row.left_n, row.right_n) == (computed.tension.left_n, computed.tension.right_n)
            assert (row.stop_n, row.ratio) == (computed.tension.stop_n, computed.tension.ratio)
            assert row.mass_g == computed.mass_g
            assert row.program == computed.drilling.program
            assert row.off_axis_deg == computed.drilling.largest_misalignment_deg


def test_every_stock_length_lies_in_its_window():
    for builds in builds_of(demo()).values():
        figures = builds.figures
        for side in ("left", "right"):
            off_mm = getattr(figures, f"{side}_stock_mm") - getattr(figures, f"{side}_target_mm")
            assert np.all(off_mm >= figures.window_low_mm - 1e-6)
            assert np.all(off_mm <= figures.window_high_mm + 1e-6)


def test_columns_cannot_be_written_to():
    figures = builds_of(demo())["front"].figures
    with pytest.raises(ValueError, match="read-only"):
        figures.mass_g[0] = 1.0


@pytest.mark.parametrize("share", [1.0, 0.2, 0.1])
def test_only_what_the_structure_refuses_is_refused_without_solving_it(share: float):
    """The same as the check says, on rims so soft that some wheels no longer stand."""
    section = demo().rims["OR33D"].section
    assert section is not None
    soft = section.model_copy(
        update={
            "lateral_bending_nm2": section.lateral_bending_nm2 * share,
            "torsion_nm2": section.torsion_nm2 * share,
            "radial_bending_nm2": section.radial_bending_nm2 * share,
        }
    )
    edition = with_part(demo(), "rims", "OR33D", section=soft)
    question = next(
        each for each in QUESTIONS if each.check == STRUCTURE and each.position == "front"
    )
    said = []
    for build in [each for each in builds_of(demo())["front"] if each.rim == "OR33D"][::40]:
        posted = Posted({"front": build.members()}, edition)
        wheel = posted.wheel("front")
        assert wheel is not None
        assert wheel.computed is not None
        blocked = any(each.finding.blocks for each in question.ask(posted))
        assert carries(wheel.computed) != blocked
        assert (build in set(builds_of(edition)["front"])) != blocked
        said.append(blocked)
    assert any(said) == (share < 0.2)


def test_a_rule_costs_no_new_builds():
    edition = demo()
    ruleless = replace(edition, number=99, rules={}, digest="another")
    before, after = builds_of(edition), builds_of(ruleless)
    for position in POSITIONS:
        assert before[position].builds is after[position].builds
        assert before[position].figures is after[position].figures
        assert after[position].edition is ruleless


def test_a_changed_rim_costs_that_rims_builds_alone():
    builds_of(demo())
    changed = with_part(demo(), "rims", "OR33D", spoke_limit_n=1150.0)
    before = sound_wheels.cache_info().misses
    builds_of(changed)
    hubs = len(demo().hubs)
    assert sound_wheels.cache_info().misses - before == hubs


def test_a_changed_house_figure_changes_the_builds():
    strict = with_house(demo(), "tension", limit_share=0.5)
    assert len(builds_of(strict)["rear"]) < len(builds_of(demo())["rear"])


def test_what_does_not_decide_a_pair_is_not_there_to_be_read():
    edition = next(pairs(demo(), "front")).edition()
    assert not edition.decals
    assert not edition.rules
    assert not edition.drivers
    with pytest.raises(AttributeError):
        _ = edition.house.tyre


def test_progress_is_told_to_the_end():
    told: list[tuple[int, int]] = []
    builds_of(one_of_a_kind(), progress=lambda done, of: told.append((done, of)))
    assert told[0] == (0, 2)
    assert told[-1] == (2, 2)


def test_an_edition_without_parts_has_no_builds():
    edition = altered(one_of_a_kind(), "rims", "OR33D", "state", "ended")
    for builds in builds_of(edition).values():
        assert len(builds) == 0
        assert builds.figures.mass_g.shape == (0,)


def test_no_two_builds_differ_in_what_is_left_open():
    open_members = {"nipple_colour", "driver"}
    for builds in builds_of(one_of_a_kind()).values():
        for build in builds:
            assert not open_members & build.members().keys()
