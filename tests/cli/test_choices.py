"""`choices`: what may still be chosen, at a terminal."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from buildsheet.actions.workshop import Workshop


@pytest.fixture
def part(tmp_path: Path):
    """Writes a part of an order into a file."""

    def written(document: object) -> Path:
        path = tmp_path / "part.json"
        path.write_text(json.dumps(document), "utf-8")
        return path

    return written


def test_every_open_place_is_said_with_its_values_and_ways(said, part, workshop: Workshop):
    file = part({"kind": "front", "front": {"hub": "KF4"}})
    answer = said("choices", file, "--db", workshop.path)
    document = said("choices", file, "--db", workshop.path, "--json").json
    assert answer.code == 0
    assert f"{document['ways']} complete orders can be made of it" in answer.out
    for at, ways in document["open"].items():
        assert f"\n{at}\n" in answer.out
        assert all(str(each["ways"]) in answer.out for each in ways)
    assert "assumed: /use/rider_kg = 20" in answer.out
    assert "closed: 28; 32" in answer.out


def test_closed_values_say_why_where_it_is_asked(said, part, workshop: Workshop):
    file = part({"kind": "front", "front": {"hub": "KF4"}})
    answer = said("choices", file, "--why", "--db", workshop.path)
    assert "SJB9" in answer.out
    assert "seats straight-pull spokes" in answer.out


def test_a_part_that_leads_nowhere_leaves_with_1_and_the_way_back(said, part, workshop: Workshop):
    answer = said("choices", part({"front": {"rim": "OR38R", "hub": "KF2"}}), "--db", workshop.path)
    assert answer.code == 1
    assert "NOTHING CAN BE BUILT" in answer.out
    assert "way out: /front/" in answer.out


def test_faults_of_form_leave_with_1_and_what_is_no_document_with_2(
    said, part, tmp_path: Path, workshop: Workshop
):
    faulty = said("choices", part({"use": {"class": "sporty"}}), "--db", workshop.path)
    assert (faulty.code, "order.wrong-type" in faulty.out) == (1, True)
    torn = tmp_path / "torn.json"
    torn.write_text("{", "utf-8")
    assert said("choices", torn, "--db", workshop.path).code == 2
