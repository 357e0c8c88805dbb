"""The public list of codes holds the rules of the running edition beside the fixed codes."""

from __future__ import annotations

from buildsheet.actions.editions import running_edition
from buildsheet.actions.finding_codes import codes_in_force, finding_codes
from buildsheet.actions.workshop import Workshop


def test_every_rule_of_the_running_edition_is_listed_under_its_code(workshop: Workshop):
    rules = running_edition(workshop).rules
    listed = {str(each["code"]): each for each in codes_in_force(workshop)}
    assert set(listed) == {f"rule.{name}" for name in rules} | {
        str(each["code"]) for each in finding_codes()
    }
    for rule in rules.values():
        entry = listed[rule.code]
        assert entry["reason"] == rule.reason
        assert entry["source"] == rule.source
        assert entry["says"] == rule.says


def test_a_rule_is_listed_as_blocking_too_for_it_blocks_where_it_cannot_be_judged(
    workshop: Workshop,
):
    listed = {str(each["code"]): each for each in codes_in_force(workshop)}
    assert listed["rule.alloy-on-rough-ground"]["severities"] == ["block", "caution"]
    assert listed["rule.disc-hub-takes-160"]["severities"] == ["block"]


def test_the_list_is_in_one_order(workshop: Workshop):
    codes = [str(each["code"]) for each in codes_in_force(workshop)]
    assert codes == sorted(codes)


def test_a_workshop_without_an_edition_lists_the_fixed_codes(empty_workshop: Workshop):
    assert codes_in_force(empty_workshop) == finding_codes()
