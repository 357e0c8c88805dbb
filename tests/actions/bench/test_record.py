"""The as-built record: the same every time, sealed, and honest about what is missing."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from buildsheet.actions.bench.find_wheels import WAYS, find_wheels
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.record import record_of
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.record import NOT_RECORDED, canonical, faults
from tests.actions.bench.day import pass_of, taken, until_lacing, view_of
from tests.workshops import raw


def built(workshop: Workshop) -> str:
    """The serial of a front wheel that was built, read and signed."""
    front = taken(workshop)["front"]
    until_lacing(workshop, front)
    take_pass(workshop, front, pass_of(workshop, front))
    signature = {"key": "k-sign-0001", "issue": "A", "by": "S. Second", "number": 1}
    answer = json.loads(sign(workshop, front, raw({**signature, "verdict": "pass"})).answer)
    assert answer["good"], answer
    return front


def record(workshop: Workshop, serial: str) -> dict[str, Any]:
    made = record_of(workshop, serial)
    assert made is not None
    return made


def test_a_signed_wheel_has_a_certificate_with_every_reading(stand: Workshop):
    front = built(stand)
    made = record(stand, front)
    assert (made["verdict"], made["certificate"]) == ("pass", True)
    assert len(made["measured"]["tension_n"]) == 24
    assert made["parts"]["rim"] == {
        "code": "OR33D",
        "holes": 24,
        "serial": "33D-0412",
        "batch": "L7",
        "drilling": made["parts"]["rim"]["drilling"],
    }
    assert made["people"] == ["M. K.", "S. Second"]
    assert made["limits"]["system_mass_kg"] == 105
    assert faults(made) == ()


def test_a_record_is_the_same_bytes_whenever_it_is_made(stand: Workshop):
    front = built(stand)
    later = replace(stand, clock=lambda: stand.clock().replace(year=2033))
    assert canonical(record(stand, front)) == canonical(record(later, front))


@pytest.mark.parametrize(
    "place", [("measured", "tension_n", 3), ("planned", "stop_n"), ("signed", "by"), ("digest",)]
)
def test_a_changed_reading_is_noticed(stand: Workshop, place: tuple[Any, ...]):
    made = json.loads(json.dumps(record(stand, built(stand))))
    inner = made
    for name in place[:-1]:
        inner = inner[name]
    inner[place[-1]] = 1
    assert len(faults(made)) == 1


def test_a_wheel_that_nobody_signed_has_no_certificate_and_says_what_is_missing(stand: Workshop):
    made = record(stand, taken(stand)["rear"])
    assert (made["verdict"], made["certificate"]) == ("not-judged", False)
    assert made["measured"] == made["signed"] == NOT_RECORDED
    assert made["parts"]["rim"]["serial"] == NOT_RECORDED
    assert {each["done"] for each in made["steps"]} == {NOT_RECORDED}


def test_a_pass_that_nobody_signed_takes_the_certificate_back(stand: Workshop):
    front = built(stand)
    take_pass(stand, front, pass_of(stand, front, "k-pass-0002", twisted=True))
    made = record(stand, front)
    assert (made["verdict"], made["certificate"]) == ("not-judged", False)
    assert made["no_certificate_because"] == [
        "Pass 2 was read after pass 1 was signed.",
        "Its newest pass, 2, says rework.",
    ]
    assert made["measured"]["pass"] == 1


def test_an_unsigned_wheel_that_stands_above_stop_says_so_and_not_only_that_a_name_is_missing(
    stand: Workshop,
):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    task = view_of(stand, front).task
    typed = [round(task.target_n[side]) for side in task.sides]
    tight = {"gauge": "G1", "unit": "n", "typed": [round(task.stop_n) + 40, *typed[1:]]}
    take_pass(stand, front, pass_of(stand, front, tension=tight))
    assert record(stand, front)["no_certificate_because"] == [
        "Not signed: nobody stands for this wheel.",
        "Its newest pass, 1, says stop.",
    ]
    nothing_read = {"tension": None, "mass_g": None}
    take_pass(stand, front, pass_of(stand, front, "k-pass-0002", **nothing_read))
    assert record(stand, front)["no_certificate_because"][1:] == [
        "Its newest pass, 2, says not-judged.",
        "Pass 1 says stop, and none since was judged.",
    ]


def test_a_signature_under_a_void_sheet_is_no_certificate(stand: Workshop):
    front = built(stand)
    reissue(stand, front, because="rim measured", erd_mm=view_of(stand, front).plan.erd_mm + 0.9)
    made = record(stand, front)
    assert made["certificate"] is False
    assert "issue B is in force" in made["no_certificate_because"][0]


def test_limits_are_those_of_the_part_that_bears_least(stand: Workshop):
    limits = record(stand, built(stand))["limits"]
    assert limits["use_classes"] == [1, 2]
    assert (limits["tyre_min_mm"], limits["tyre_max_mm"]) == (28, 42)
    bars = [each["limit_bar"] for each in limits["pressure"]]
    assert bars == sorted(bars, reverse=True)
    gravel = record(stand, taken(stand, "D-1009")["front"])["limits"]
    assert gravel["bead"] == "hookless"
    assert all(each["limit_bar"] <= 5.0 for each in gravel["pressure"])
    assert all(each["with_tube_bar"] <= 4.0 for each in gravel["pressure"])


def test_what_was_said_at_a_station_stands_in_the_record(stand: Workshop):
    steps = {each["station"]: each for each in record(stand, built(stand))["steps"]}
    assert steps["rim-gate"]["said"]["diameters_mm"] == pytest.approx([576.8] * 4)
    assert steps["first-spoke"]["said"] == {"left_mm": 277, "right_mm": 279}
    assert steps["box"] == {"station": "box", "done": NOT_RECORDED}


@pytest.mark.parametrize("document", [None, [], {}, {"kind": "x"}, {"kind": float("nan")}])
def test_what_is_no_record_is_called_none(document: object):
    assert len(faults(document)) == 1


@pytest.mark.parametrize(
    ("by", "what", "count"),
    [
        ("order", "D-1001", 2),
        ("rim-batch", "L7", 1),
        ("rim-serial", "33D-0412", 1),
        ("hub-serial", "KF2-118", 1),
        ("gauge", "G1", 1),
        ("builder", "M. K.", 1),
        ("builder", "S. Second", 1),
        ("edition", "16", 2),
        ("edition", "sixteen", 0),
        ("rim-batch", "L8", 0),
    ],
)
def test_wheels_are_found_by_what_is_in_the_hand(stand: Workshop, by: str, what: str, count: int):
    built(stand)
    assert len(find_wheels(stand, by, what)) == count


def test_a_wheel_is_found_by_its_serial_however_it_is_typed(stand: Workshop):
    front = built(stand)
    (found,) = find_wheels(stand, "serial", front.lower().replace("-", " "))
    assert found.serial == front
    with pytest.raises(KeyError):
        find_wheels(stand, "weather", "fine")
    assert len(set(WAYS)) == len(WAYS)
