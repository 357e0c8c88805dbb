"""The steps of a demo wheel's day, each as a document with a key of its own."""

from __future__ import annotations

import json
from typing import Any

from buildsheet.actions.bench.steps import Answer, take_step
from buildsheet.actions.bench.view import BenchView, bench_of_serial
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import wheels
from tests.workshops import answer_of, example, raw


def taken(workshop: Workshop, name: str = "D-1001") -> dict[str, str]:
    """Position -> serial of the wheels of a demo order, taken now."""
    answer = answer_of(take_order(workshop, raw(example(name))))
    with workshop.database.reading() as section:
        return {each.position: each.serial for each in wheels.of_order(section, answer["id"])}


def view_of(workshop: Workshop, serial: str) -> BenchView:
    view = bench_of_serial(workshop, serial)
    assert view is not None
    return view


def pass_of(workshop: Workshop, serial: str, key: str = "k-pass-0001", **changes: Any) -> bytes:
    """A pass at target of a wheel."""
    task = view_of(workshop, serial).task
    document: dict[str, Any] = {
        "key": key,
        "issue": task.issue,
        "by": "M. K.",
        "rim_serial": "33D-0412",
        "hub_serial": "KF2-118",
        "tension": {
            "gauge": "G1",
            "unit": "n",
            "typed": [round(task.target_n[side]) for side in task.sides],
        },
        "lateral": {"given_as": "full", "typed_mm": 0.14},
        "radial": {"given_as": "full", "typed_mm": 0.22},
        "dish": {"given_as": "offset", "typed_mm": 0.1, "toward": "left"},
        "mass_g": round(task.mass_g) + 3,
        "caps_fitted": True,
        "threads": ["in"] * 8,
        "free_play": False,
        "twisted": False,
        "relief_rounds": 3,
        **changes,
    }
    return raw(document)


def step(workshop: Workshop, wheel: str, station: str, **members: Any) -> Answer:
    view = view_of(workshop, wheel)
    document = {
        "station": station,
        "key": f"k-{station}-{len(view.steps):04d}",
        "issue": view.task.issue,
        "by": "M. K.",
        **members,
    }
    return take_step(workshop, wheel, raw(document))


def rim_gate(workshop: Workshop, serial: str, **changes: Any) -> Answer:
    plan, rim = view_of(workshop, serial).plan, view_of(workshop, serial).stand.rim
    members = {
        "rim_serial": "33D-0412",
        "batch": "L7",
        "mass_g": rim.mass_g + 2,
        "lateral_mm": 0.2,
        "radial_mm": 0.3,
        "diameter_of": "erd",
        "diameters_mm": [plan.erd_mm] * 4,
    }
    return step(workshop, serial, "rim-gate", **{**members, **changes})


def kit(workshop: Workshop, serial: str) -> Answer:
    plan = view_of(workshop, serial).plan
    scanned = [
        {"part": each.part, "count": each.count + each.spare, "batch": "B41"} for each in plan.pick
    ]
    return step(workshop, serial, "kit", scanned=scanned, bagged_apart=True)


def until_lacing(workshop: Workshop, serial: str) -> None:
    """Rim gate, kit, first spokes, half-way gate: all good."""
    plan = view_of(workshop, serial).plan
    done = [
        rim_gate(workshop, serial),
        kit(workshop, serial),
        step(
            workshop,
            serial,
            "first-spoke",
            left_mm=plan.spokes.left.stock_mm,
            right_mm=plan.spokes.right.stock_mm,
        ),
        step(workshop, serial, "half-way", as_picture=True, label_at_valve=True, bed_as_arrow=True),
    ]
    for each in done:
        # The wheels of a test share one rim serial: the second of them is told so, and goes on.
        told = [said.says for said in each.findings if said.code != "bench.serial-elsewhere"]
        assert told == []


def said(answer: Answer) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(answer.answer)
    return document
