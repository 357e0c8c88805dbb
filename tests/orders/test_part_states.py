"""A part that takes no new orders says why; a draft is neither built with nor so much as named."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

import pytest

from buildsheet.catalog.edition import KINDS, Edition
from tests.orders.speaking import SPEAKING, Speaking
from tests.orders.workshop import answer, demo, disc_set, put, the, with_part

CLOSED = {
    "draft": "is a draft and not released yet",
    "no-new-orders": "takes no new orders",
    "service-only": "is kept for service only",
    "ended": "has ended",
}
DRAFTED = "ZZ"


@lru_cache(maxsize=1)
def with_drafts() -> Edition:
    """The demo with a draft beside every part: the same but for a code that begins with ZZ.

    Decals in a draft colour, because a set of one colour, size and hand exists once.
    """
    altered: dict[str, Any] = {}
    for kind in KINDS:
        parts = getattr(demo(), kind)
        drafts = {}
        for code, part in parts.items():
            update: dict[str, Any] = {"code": f"{DRAFTED}{code}"[:24], "state": "draft"}
            if kind == "decals":
                update["colour"] = f"{DRAFTED}{part.colour}"
            if kind == "nipples":
                update["colours"] = (*part.colours, "zz draft colour")
            drafts[update["code"]] = part.model_copy(update=update)
        altered[kind] = {**parts, **drafts}
    return replace(demo(), digest=f"{demo().digest}+drafts", **altered)


@pytest.mark.parametrize("code", SPEAKING)
def test_no_finding_names_a_draft(code: str):
    speaking: Speaking = SPEAKING[code]
    order = speaking.order()
    found = answer(order, with_drafts()).findings
    said = json.dumps([each.as_json() for each in found]).lower()
    assert DRAFTED.lower() not in said


@pytest.mark.parametrize("state", CLOSED)
@pytest.mark.parametrize(
    ("kind", "code", "at"),
    [
        ("rims", "OR33D", "/front/rim"),
        ("hubs", "KF2", "/front/hub"),
        ("spokes", "SJB9", "/front/spoke"),
        ("nipples", "NA12", "/front/nipple"),
        ("drivers", "B", "/rear/driver"),
        ("washers", "W05", "/front/washer"),
    ],
)
def test_a_named_part_that_takes_no_orders_says_its_state(
    kind: str, code: str, at: str, state: str
):
    order = put(disc_set(), {"/front/washer": "W05"})
    found = answer(order, with_part(demo(), kind, code, state=state)).findings
    here = [each for each in found if each.code == "data.part-state" and each.at == at]
    assert [each.says.startswith(f"{code} {CLOSED[state]}") for each in here] == [True]
    assert here[0].blocks


@pytest.mark.parametrize("state", CLOSED)
@pytest.mark.parametrize(
    ("kind", "codes", "finding"),
    [
        ("end_caps", ("C12-100",), "fit.end-caps"),
        ("decals", ("LAGOON-S-L", "LAGOON-S-R"), "finish.colour"),
        ("programs", ("OR33D-24F-X", "OR33D-24F-R"), "lacing.drilling-program"),
    ],
)
def test_what_the_order_only_implies_blocks_in_every_state_but_active(
    kind: str, codes: tuple[str, ...], finding: str, state: str
):
    edition = demo()
    for code in codes:
        if code in getattr(edition, kind):
            edition = with_part(edition, kind, code, state=state)
    found = the(answer(disc_set(), edition), finding)
    assert found.blocks
    named = state != "draft"
    assert (f"{codes[0]} {CLOSED[state]}." in found.says) is named


def test_every_kind_of_part_has_all_states():
    for model in KINDS.values():
        annotation = model.model_fields["state"].annotation
        assert {*CLOSED, "active"} == set(getattr(annotation, "__args__", ()))


@pytest.mark.parametrize("kind", KINDS)
def test_an_ended_part_that_the_order_does_not_need_changes_nothing(kind: str):
    needed: Callable[[str], bool] = json.dumps(disc_set()).__contains__
    spare = next(
        code
        for code in reversed(getattr(demo(), kind))
        if not needed(f'"{code}"') and not code.startswith(("LAGOON", "OR33D", "C12"))
    )
    altered = with_part(demo(), kind, spare, state="ended")
    assert answer(disc_set(), altered).buildable
