"""A plan that is kept reads back equal in every digit."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from buildsheet.actions.editions import running_edition
from buildsheet.actions.plan_again import plan_of
from buildsheet.actions.plan_record import kept, read_back
from buildsheet.actions.show_wheel import WheelView, known_wheel
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.orders.check import check
from buildsheet.plan.document import plan_document
from tests.workshops import answer_of, example, raw


def test_a_kept_plan_is_the_plan(workshop: Workshop):
    for name in ("D-1001", "D-1002", "D-1009"):
        for plan in check(raw(example(name)), running_edition(workshop)).plans.values():
            stored = kept(plan)
            assert read_back(stored) == plan
            assert json.loads(stored.document) == plan_document(plan)


def test_the_title_names_what_a_builder_reaches_for(workshop: Workshop):
    plans = check(raw(example("D-1001")), running_edition(workshop)).plans
    assert kept(plans["front"]).title == "OR33D, 24 holes, KF2, SJB9, 277 / 279 mm"


def keep_otherwise(view: WheelView, fingerprint: str) -> WheelView:
    """The wheel as if another version of the program had kept its plan in another form."""
    record = json.loads(view.kept.record)
    record["pitch_in_another_form"] = record.pop("pitch")
    kept = replace(view.kept, record=json.dumps(record))
    sheet = replace(view.stored.sheet, fingerprint=fingerprint)
    return replace(view, kept=kept, stored=replace(view.stored, sheet=sheet))


def test_a_plan_kept_by_another_version_is_computed_again_for_the_same_wheel(workshop: Workshop):
    took = take_order(workshop, raw(example("D-1001")))
    view = known_wheel(workshop, answer_of(took)["wheels"][1]["serial"])
    assert plan_of(workshop, keep_otherwise(view, view.stored.sheet.fingerprint)) == plan_of(
        workshop, view
    )


def test_a_plan_that_comes_out_otherwise_is_not_printed(workshop: Workshop):
    took = take_order(workshop, raw(example("D-1001")))
    view = known_wheel(workshop, answer_of(took)["wheels"][1]["serial"])
    other = keep_otherwise(view, "sha256:" + 64 * "0")
    with pytest.raises(WorldError, match="does not come to the same wheel"):
        plan_of(workshop, other)
