"""The desk speaks of parts, rules and figures, never of files and keys; those stay in small print."""

from __future__ import annotations

import re
from html import unescape

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.desk.draft import change, put_part
from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutHouse, PutPart, PutRule
from buildsheet.catalog.reading import read_catalog
from buildsheet.web.pages.catalog.at_the_desk import (
    UNKNOWN_KEY,
    at_the_field,
    place_in_words,
    sentence,
)
from tests.web.desk_forms import ANNA, draft, filled, now, send

__all__ = ["draft"]

KEY = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")


def spoilt(new: str, every: int) -> dict[str, str]:
    """The demo catalog with something else in every so many lines of its tables."""
    texts = {}
    top = demo_directory()
    for path in sorted(top.rglob("*.toml")):
        lines = path.read_text(encoding="utf-8").split("\n")
        for place, line in enumerate(lines):
            if re.match(r"[a-z_0-9]+ = [^\[{]", line) and place % every == 0:
                key = line.split(" = ")[0]
                lines[place] = f"{key} = {new}" if new else ""
        texts[str(path.relative_to(top))] = "\n".join(lines)
    return texts


@pytest.mark.parametrize("new", ["99999", "-3", '"x"', "[1, 2]", ""])
def test_no_fault_of_a_catalog_is_told_with_its_file_or_its_key(new: str):
    found = read_catalog(spoilt(new, 3))[1]
    assert len(found) > 20
    for each in found:
        for told in (
            sentence(each),
            at_the_field(each),
            *(place_in_words(w.at) for w in each.try_),
        ):
            assert ".toml" not in told, each.says
            if each.code != UNKNOWN_KEY and not each.at.startswith("/rules/"):
                assert not KEY.search(re.sub(r'"[^"]*"', "", told)), each.says


def test_a_key_that_there_is_not_is_told_as_it_was_written():
    texts = spoilt("x", 10**9)
    texts["parts/rims.toml"] = texts["parts/rims.toml"].replace(
        "\nseat_diameter_mm", "\nseat_diam_mm", 1
    )
    (unknown,) = [each for each in read_catalog(texts)[1] if each.code == UNKNOWN_KEY]
    assert "seat_diam_mm: no such key. Try seat_diameter_mm." in sentence(unknown)


def visible(page: str) -> str:
    """What a page says in its main part, without its small print."""
    main = page[page.index("<main") : page.index("</main>")]
    main = re.sub(r'<p class="where">.*?</p>', " ", main, flags=re.DOTALL)
    return unescape(re.sub(r"<[^>]+>", " ", main))


def test_the_draft_page_speaks_of_parts_rules_and_figures(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    edits = (
        PutPart("OR33D", values={"seat_diameter_mm": 53.96, "holes": [20, 24]}),
        PutPart("KF2", values={"left_flange": {"circle_mm": 9000.0}}),
        PutHouse("tension.band_percent", 7.0),
        PutRule("disc-hub-takes-160", values={"owner": "the bench"}),
    )
    assert change(workshop, edits, version=draft.version, by=ANNA).draft is not None
    page = client.get("/catalog/draft").text
    told = visible(page)
    assert "OR33D, rim, seat diameter (mm): found 53.96" in told
    assert "OR33D, rim, seat diameter (mm): 539.6" in told
    assert "OR33D: seat diameter (mm) = 53.96, hole counts = 20 24" in told
    assert "tension: band (%) = 7" in told
    assert 'disc-hub-takes-160: owner = "the bench"' in told
    assert ".toml" not in told
    assert not KEY.search(told)
    # Where it stands in the files is there, for whoever reads those.
    assert "<code>/parts/rims.toml/OR33D/seat_diameter_mm</code>" in page


def test_a_form_that_comes_too_late_tells_clashes_in_the_words_of_its_fields(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "depth_mm": ["33.2"], "_deed": ["save"]}
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    changed = {**values, "depth_mm": 33.4, "mass_g": 401.0}
    put_part(workshop, "rims", "OR33D", changed, version=draft.version, by=ANNA)
    late = send(client, path, form).text
    assert '<th scope="row">Depth (mm)</th><td>33.4</td><td>33.2</td>' in late
    assert "taken over from the draft: Mass (g)." in late
    assert "OR33D: depth (mm) = 33.4, mass (g) = 401" in late
    told = visible(late)
    assert "depth_mm" not in told
    assert now(workshop).version != draft.version


def test_a_copy_of_a_part_and_the_house_figures_speak_in_words_too(
    client: FlaskClient, draft: Draft
):
    copy = client.get("/catalog/draft/parts/rims/new?like=OR33D").text
    assert "Evidence for the limits: highest spoke tension" in copy
    assert not KEY.search(visible(copy))
    path = "/catalog/draft/house"
    form = {**filled(client.get(path).text), "tension.band_percent": ["7"], "_deed": ["look"]}
    looked = send(client, path, form).text
    assert '<th scope="row">Tension: band (%)</th>' in looked
    assert "tension.band_percent" not in visible(looked)
