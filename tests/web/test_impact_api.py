"""Impact, lengths and programs over HTTP; every answer is held against the description."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.web.openapi.document import openapi
from tests.web.test_catalog_api import Desk
from tests.workshops import example, raw

LIMIT = [
    {"part": "OR33D", "kind": "rims", "set": {"spoke_limit_n": 1200.0}},
]


@pytest.fixture(scope="module")
def description() -> dict[str, Any]:
    return openapi()


@pytest.fixture
def desk(client: FlaskClient, description: dict[str, Any]) -> Desk:
    return Desk(client, description)


def test_there_is_no_impact_without_a_draft(desk: Desk):
    assert desk.ask("get", "/catalog/draft/impact").status_code == 404


def test_a_lower_limit_touches_the_order_that_has_the_rim(desk: Desk, workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    take_order(workshop, raw(example("D-1009")))
    version = desk.begin()
    untouched = desk.ask("get", "/catalog/draft/impact").json
    assert untouched["impact"]["nothing"] is True
    changed = desk.change(LIMIT, version)
    assert changed.status_code == 200, changed.json
    answer = desk.ask("get", "/catalog/draft/impact")
    assert answer.headers["ETag"] == f'"{changed.json["version"]}"'
    impact = answer.json["impact"]
    counted = impact["configurations"]
    assert counted["appear"] == counted["disappear"] == 0
    assert counted["change"] == counted["by_figure"]["stop"] > 0
    (order,) = impact["orders"]["list"]
    assert (order["number"], order["proposal"]) == ("D-1001", "re-issue")
    assert [each["after"]["stop_n"] for each in order["wheels"]] == [1160.0, 1160.0]
    assert impact["examples"]["change"][0]["apart"] == 0


def test_a_faulty_draft_has_no_impact_and_says_why(desk: Desk):
    version = desk.begin()
    desk.change([{"part": "OR33D", "kind": "rims", "set": {"seat_diameter_mm": 57.36}}], version)
    answer = desk.ask("get", "/catalog/draft/impact").json
    assert answer["impact"] is None
    assert answer["findings"]


def test_lengths_of_the_draft_are_planned_where_it_is_sound(desk: Desk):
    of_draft = "/catalog/lengths?of=draft"
    assert desk.ask("get", of_draft).status_code == 404
    version = desk.begin()
    before = desk.ask("get", "/catalog/lengths").json
    deeper = [{"part": "OR33D", "kind": "rims", "set": {"state": "ended"}}]
    version = desk.change(deeper, version).json["version"]
    planned = desk.ask("get", of_draft).json
    assert (before["edition"], planned["edition"]) == (16, 17)
    assert 0 < planned["builds"] < before["builds"]
    assert "OR33D" not in {each["rim"] for each in planned["rims"]}
    desk.change([{"part": "OR45D", "kind": "rims", "set": {"seat_diameter_mm": 5.0}}], version)
    faulty = desk.ask("get", of_draft)
    assert (faulty.status_code, faulty.json["type"]) == (422, "/problems#draft-faulty")
    assert faulty.json["findings"]


def test_lengths_are_planned_and_drawn(desk: Desk):
    answer = desk.ask("get", "/catalog/lengths?wheels=2").json
    once = desk.ask("get", "/catalog/lengths").json
    assert set(answer["types"]) == {"SJ15", "SJ18", "SJB9", "SSB9"}
    for spoke, each in answer["types"].items():
        assert each["fewest"] == len(each["lengths"])
        doubled = [2 * length["order_point"] for length in once["types"][spoke]["lengths"]]
        assert [length["order_point"] for length in each["lengths"]] == doubled
    path = "/catalog/lengths/{spoke}.svg"
    picture = desk.ask("get", "/catalog/lengths/SSB9.svg", described=path)
    assert picture.mimetype == "image/svg+xml"
    assert desk.ask("get", "/catalog/lengths/SJB12.svg", described=path).status_code == 404


@pytest.mark.parametrize("query", ["wheels=0", "wheels=1001", "wheels=x", "grid=odd", "wheels=-1"])
def test_a_parameter_out_of_range_is_refused(desk: Desk, query: str):
    assert desk.ask("get", f"/catalog/lengths?{query}").status_code == 400


def test_every_kind_of_drilled_rim_has_its_program_but_for_wheels_half_radial(desk: Desk):
    answer = desk.ask("get", "/catalog/programs").json
    assert answer["proved"]
    assert answer["fewest"] == len(answer["drilling"]) == 31
    # A program leans all its holes alike: one side radial and the other crossed has none to suit both.
    lacking = {(each["rim"], each["holes"]) for each in answer["drilling"] if each["missing"]}
    assert lacking == {("OR38R", 20), ("OR38R", 24)}
