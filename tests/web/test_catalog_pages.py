"""The desk's pages say what the edition says, and refuse what is not there."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient


def test_the_catalog_page_names_the_edition_in_force(client: FlaskClient):
    page = client.get("/catalog")
    assert page.status_code == 200
    assert "Edition 16 is in force" in page.text


def test_parts_are_found_by_code_name_kind_and_state(client: FlaskClient):
    assert "OR33D" in client.get("/catalog/parts?kind=rims").text
    found = client.get("/catalog/parts?q=ondrel+33").text
    assert "OR33D" in found
    assert "OR45D" not in found
    assert "0 parts found" in client.get("/catalog/parts?state=ended").text


@pytest.mark.parametrize(
    "path",
    [
        "/catalog/parts?kind=frames",
        "/catalog/parts?state=gone",
        "/catalog/parts/rims/NOPE",
        "/catalog/parts/frames/OR33D",
    ],
)
def test_what_the_catalog_does_not_have_is_not_found(client: FlaskClient, path: str):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    ("path", "figures"),
    [
        ("rims/OR33D", ["573.6 mm", "1250 N", "105"]),
        ("hubs/KF2", ["22.5 mm", "12x100"]),
        ("spokes/SJB9", ["Cross-section"]),
    ],
)
def test_a_part_page_shows_its_figures(client: FlaskClient, path: str, figures: list[str]):
    page = client.get(f"/catalog/parts/{path}").text
    assert [figure for figure in figures if figure not in page] == []
