"""A plan that is kept reads back equal in every digit."""

from __future__ import annotations

import json

from buildsheet.actions.editions import running_edition
from buildsheet.actions.plan_record import kept, read_back
from buildsheet.actions.workshop import Workshop
from buildsheet.orders.check import check
from buildsheet.plan.document import plan_document
from tests.workshops import example, raw


def test_a_kept_plan_is_the_plan(workshop: Workshop):
    for name in ("D-1001", "D-1002", "D-1009"):
        for plan in check(raw(example(name)), running_edition(workshop)).plans.values():
            stored = kept(plan)
            assert read_back(stored) == plan
            assert json.loads(stored.document) == plan_document(plan)


def test_the_title_names_what_a_builder_reaches_for(workshop: Workshop):
    plans = check(raw(example("D-1001")), running_edition(workshop)).plans
    assert kept(plans["front"]).title == "OR33D, 24 holes, KF2, SJB9, 277 / 279 mm"
