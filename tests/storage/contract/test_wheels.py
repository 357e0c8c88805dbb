"""Wheels, their sheets and plans; one sheet in force; who is still in the house."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from buildsheet.states import STATIONS, WheelState
from buildsheet.storage import wheels
from buildsheet.storage.wheels import NewWheel, StoredWheel
from tests.storage.contract.engines import Engine, Store
from tests.storage.contract.furnished import (
    ALONE,
    EVENING,
    FRONT,
    LATER,
    NOON,
    OTHER_PLAN,
    PLAN,
    REAR,
    SET,
    SINGLE,
    sheet,
)

FRONT_WHEEL = StoredWheel(
    FRONT,
    SET.id,
    "shop-a",
    "D-1",
    "accepted",
    "front",
    "planned",
    NOON,
    PLAN.title,
    sheet(FRONT),
)


def serials(found: tuple[StoredWheel, ...]) -> list[str]:
    return [each.serial for each in found]


def test_a_wheel_comes_with_its_order_its_sheet_and_its_plans_title(workshop: Store):
    with workshop.reading() as section:
        assert wheels.by_serial(section, FRONT) == FRONT_WHEEL
        assert wheels.by_serial(section, "W31-00009-Z") is None
        assert serials(wheels.of_order(section, SET.id)) == [FRONT, REAR]
        assert wheels.plan(section, PLAN.digest) == PLAN
        assert wheels.plan(section, "sha256:none") is None


def test_equal_wheels_share_one_plan_that_stays_as_it_was(workshop: Store):
    with workshop.writing() as section:
        wheels.insert_plan(section, replace(PLAN, title="said otherwise"))
        assert wheels.plan(section, PLAN.digest) == PLAN


def test_lists_have_the_newest_first_a_page_at_a_time(workshop: Store):
    with workshop.reading() as section:
        assert serials(wheels.latest(section, 9)) == [ALONE, REAR, FRONT]
        assert serials(wheels.latest(section, 2)) == [ALONE, REAR]
        assert serials(wheels.latest(section, 9, REAR)) == [FRONT]
        assert wheels.latest(section, 9, FRONT) == ()
        assert serials(wheels.with_serials(section, [REAR, "W31-00009-Z", ALONE])) == [REAR, ALONE]
        assert wheels.with_serials(section, []) == ()


@pytest.mark.parametrize("state", get_args(WheelState))
def test_a_wheel_is_in_the_house_on_its_way_up_to_being_packed(workshop: Store, state: WheelState):
    with workshop.writing() as section:
        wheels.move(section, REAR, state)
        there = serials(wheels.in_the_house(section, 9))
        assert (REAR in there) is (state in STATIONS[:-1])


@pytest.mark.parametrize("state", ["shipped", "stock", "cancelled"])
def test_a_wheel_that_has_left_is_not_in_the_house(workshop: Store, state: str):
    with workshop.writing() as section:
        wheels.move(section, REAR, state)
        assert serials(wheels.in_the_house(section, 9)) == [ALONE, FRONT]
        assert serials(wheels.in_the_house(section, 1)) == [ALONE]
        assert serials(wheels.in_the_house(section, 9, ALONE)) == [FRONT]
        assert serials(wheels.latest(section, 9)) == [ALONE, REAR, FRONT]


def test_a_new_issue_makes_the_one_before_void_at_the_same_moment(workshop: Store):
    new = sheet(FRONT, "B", OTHER_PLAN, EVENING)
    with workshop.writing() as section:
        wheels.issue_sheet(section, new)
        old, newest = wheels.sheets_of(section, FRONT)
        assert (old.issue, old.void_at, old.void_because) == ("A", EVENING, "replaced by issue B")
        assert newest == new
        assert wheels.by_serial(section, FRONT).sheet == new
        assert wheels.sheet_by_code(section, f"{FRONT}-A") == old
        assert wheels.sheet_by_code(section, "nobody's") is None


def test_a_sheet_may_print_another_plan_under_the_same_issue(workshop: Store):
    with workshop.writing() as section:
        wheels.reprint(
            section, f"{FRONT}-A", revision=1, fingerprint="f", plan_digest=OTHER_PLAN.digest
        )
        found = wheels.by_serial(section, FRONT)
        assert (found.sheet.issue, found.sheet.fingerprint) == ("A", "f")
        assert found.title == OTHER_PLAN.title


def test_a_code_is_one_sheets_and_a_serial_one_wheels(engine: Engine, workshop: Store):
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        wheels.issue_sheet(section, replace(sheet(FRONT, "B"), code=f"{REAR}-A"))
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        wheels.issue_sheet(section, replace(sheet(FRONT), code="another"))
    with workshop.reading() as section:
        assert wheels.by_serial(section, FRONT) == FRONT_WHEEL


def test_wheels_with_equal_plans_share_one(workshop: Store):
    with workshop.writing() as section:
        new = NewWheel(SINGLE.id, "rear", PLAN, sheet("W31-00004-V"))
        wheels.insert_new(section, "planned", [new])
        assert wheels.by_serial(section, "W31-00004-V").title == PLAN.title
        assert wheels.plan(section, PLAN.digest) == PLAN


def test_states_by_order_are_those_of_its_wheels_front_first(workshop: Store):
    with workshop.writing() as section:
        wheels.move(section, ALONE, "kitted")
        assert wheels.states_by_order(section) == {
            SET.id: ("planned", "planned"),
            SINGLE.id: ("kitted",),
        }
    assert sheet(ALONE, at=LATER).issued_at == LATER
