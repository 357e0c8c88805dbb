"""Gauges, records and recalls at a terminal."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.record import sealed
from tests.cli.conftest import Said
from tests.workshops import EXAMPLES, example, raw

Ask = Callable[..., Said]


@pytest.fixture
def file(workshop: Workshop, workshop_file: Path) -> Path:
    """A workshop file with D-1001 in it."""
    take_order(workshop, raw(example("D-1001")))
    return workshop_file


def test_tables_are_kept_once_and_listed(said: Ask, file: Path):
    gauge = EXAMPLES / "bench" / "gauges" / "G1.json"
    assert said("gauge", "add", gauge, "--db", file).out.startswith("4 tables kept")
    again = said("gauge", "add", gauge, "--db", file, "--json")
    assert (again.code, again.json) == (0, {"new": 0, "known": 4, "findings": []})
    assert "SJB9" in said("gauge", "list", "--db", file).out
    assert said("gauge", "check", "G1", "--by", "M. K.", "--db", file).code == 0


def test_a_table_at_fault_is_refused_with_its_place(said: Ask, file: Path, tmp_path: Path):
    bad = tmp_path / "bad.json"
    bad.write_text('{"gauge": "G9", "marks": []}')
    answer = said("gauge", "add", bad, "--db", file, "--json")
    assert answer.code == 1
    assert "/spoke" in {each["at"] for each in answer.json["findings"]}
    bad.write_text("{")
    assert said("gauge", "add", bad, "--db", file).code == 2


def test_a_record_is_written_verified_and_a_changed_one_is_noticed(
    said: Ask, file: Path, tmp_path: Path
):
    wheels = said("recall", "--by", "order", "D-1001", "--db", file, "--json").json["wheels"]
    # The newest first.
    assert [each["position"] for each in wheels] == ["rear", "front"]
    serial = wheels[0]["serial"]
    answer = said("record", serial, "--db", file, "--out", tmp_path / "out")
    assert "no certificate" in answer.out
    written = tmp_path / "out" / f"{serial}-record.json"
    assert said("verify", written).code == 0
    changed = json.loads(written.read_text("utf-8"))
    changed["planned"]["stop_n"] += 10
    written.write_text(json.dumps(changed))
    assert said("verify", written, "--json").json["whole"] is False
    assert said("verify", written).code == 1


def test_a_record_that_was_changed_and_sealed_anew_is_held_against_the_original(
    said: Ask, file: Path, tmp_path: Path
):
    wheels = said("recall", "--by", "order", "D-1001", "--db", file, "--json").json["wheels"]
    serial = wheels[0]["serial"]
    said("record", serial, "--db", file, "--out", tmp_path)
    written = tmp_path / f"{serial}-record.json"
    assert (tmp_path / f"{serial}-record.pdf").read_bytes().startswith(b"%PDF")
    assert said("verify", written, "--original", "--db", file).out.startswith("Whole, the same")
    forged = json.loads(written.read_text("utf-8"))
    forged["limits"]["system_mass_kg"] = 150
    written.write_text(json.dumps(sealed(forged)))
    assert said("verify", written).code == 0
    against = said("verify", written, "--original", "--db", file)
    assert against.code == 1
    assert "/limits/system_mass_kg:" in against.out
    elsewhere = json.loads(written.read_text("utf-8"))
    written.write_text(json.dumps(sealed({**elsewhere, "serial": "W31-99999-A"})))
    assert "no wheel" in said("verify", written, "--original", "--db", file).out


def test_what_is_not_there_is_said(said: Ask, file: Path):
    assert said("record", "W31-99999-A", "--db", file).code == 1
    assert (
        said("recall", "--by", "rim-batch", "L9", "--db", file).out
        == "0 wheels with rim-batch L9\n"
    )
