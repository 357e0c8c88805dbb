"""A draft on pages: begun, filled, looked at, saved, overtaken; nothing is lost on the way."""

from __future__ import annotations

import random
import re

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.desk.draft import begin, change, discard, put_part, the_draft
from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.actions.desk.publish import Published, publish
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutHouse
from tests.web.desk_forms import ANNA, BERT, GARBAGE, draft, filled, now, post, send

__all__ = ["draft"]


def test_without_a_draft_every_page_of_one_leads_to_its_beginning(client: FlaskClient):
    assert "Begin draft 17" in client.get("/catalog/draft").text
    for path in ("parts", "parts/rims/OR33D", "parts/rims/new", "rules", "publish"):
        answer = client.get(f"/catalog/draft/{path}")
        assert (answer.status_code, answer.location) == (303, "/catalog/draft")


@pytest.mark.parametrize(
    "path",
    [
        *("rules/few-spokes-heavy-rider", "rules/few-spokes-heavy-rider/drop", "rules/_new"),
        *("parts/rims/OR33D", "parts/rims/OR33D/drop", "parts/rims/new", "house"),
    ],
)
def test_a_form_of_a_draft_that_was_closed_meanwhile_changes_nothing(
    client: FlaskClient, workshop: Workshop, path: str
):
    sent = {"_version": "1", "_by": ANNA, "_deed": "save", "note": "typed with care"}
    told = post(client, f"/catalog/draft/{path}", **sent)
    assert (told.status_code, the_draft(workshop)) == (409, None)
    assert "Nothing is saved." in told.text
    assert "typed with care" in told.text


def test_a_draft_begins_from_the_newest_edition_also_where_that_has_yet_to_start(
    client: FlaskClient, workshop: Workshop
):
    begun = begin(workshop, ANNA)
    edits = [PutHouse("pair.spare_nipples", 3)]
    edited = change(workshop, edits, version=begun.version, by=ANNA).draft
    assert edited is not None
    done = publish(
        workshop,
        version=edited.version,
        author=ANNA,
        reason="for next year",
        starts="2099-01-01T06:00:00+01:00",
    )
    assert isinstance(done, Published)
    assert running_edition(workshop).number == 16
    assert "Begin draft 18" in client.get("/catalog/draft").text
    assert begin(workshop, ANNA).number == 18


def test_a_draft_is_begun_by_somebody(client: FlaskClient, workshop: Workshop):
    refused = post(client, "/catalog/draft/begin", _by=" ")
    assert refused.status_code == 422
    assert "name is missing" in refused.text
    assert the_draft(workshop) is None


def test_another_site_begins_nothing(client: FlaskClient, workshop: Workshop):
    sent = client.post(
        "/catalog/draft/begin", data={"_by": ANNA}, headers={"Sec-Fetch-Site": "cross-site"}
    )
    assert sent.status_code == 403
    assert the_draft(workshop) is None


@pytest.mark.parametrize(
    "place", ["rims/OR33D", "hubs/KR4", "hubs/KF2", "spokes/SJB9", "nipples/NA12", "washers/W1"]
)
def test_a_form_that_is_sent_back_unchanged_changes_nothing(
    client: FlaskClient, workshop: Workshop, draft: Draft, place: str
):
    kind, code = place.split("/")
    if values_in(draft.texts, kind, code) is None:
        code = next(iter(getattr(running_edition(workshop), kind)))
    path = f"/catalog/draft/parts/{kind}/{code}"
    form = {**filled(client.get(path).text), "_deed": ["save"]}
    assert send(client, path, form).status_code == 303
    after = now(workshop)
    assert after.findings == ()
    assert after.edition is not None
    before = running_edition(workshop)
    assert getattr(after.edition, kind)[code] == getattr(before, kind)[code]


def test_looking_stores_nothing_and_says_what_is_wrong_at_the_field(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "seat_diameter_mm": ["57,36"], "_deed": ["look"]}
    page = send(client, path, form)
    assert page.status_code == 200
    assert "Centimetres? Try 573.6" in page.text
    assert "aria-invalid=true" in page.text
    assert 'value="57,36"' in page.text
    assert now(workshop).version == draft.version


def test_a_saved_change_is_in_the_draft_with_who_made_it(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "spoke_limit_n": ["1200"], "_deed": ["save"]}
    done = send(client, path, form)
    assert done.status_code == 303
    assert "Saved in the draft" in client.get(done.location).text
    values = values_in(now(workshop).texts, "rims", "OR33D")
    assert values is not None
    assert values["spoke_limit_n"] == 1200.0
    page = client.get("/catalog/draft").text
    assert ANNA in page
    assert "<td>1250</td><td>1200</td>" in page
    assert "Needs a second person" in page


def test_a_name_is_remembered_by_the_browser_that_sent_it(client: FlaskClient, draft: Draft):
    assert f'value="{ANNA}"' in client.get("/catalog/draft/parts/rims/OR33D").text


def test_what_is_no_number_is_kept_as_typed_and_not_saved(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "depth_mm": ["thirty-three"], "_deed": ["save"]}
    page = send(client, path, form)
    assert page.status_code == 422
    assert 'value="thirty-three"' in page.text
    assert now(workshop).version == draft.version


def test_a_form_that_was_overtaken_keeps_what_was_typed_and_shows_what_clashes(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "spoke_limit_n": ["1200"], "_deed": ["save"]}
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    put_part(
        workshop,
        "rims",
        "OR33D",
        {**values, "spoke_limit_n": 1100.0},
        version=draft.version,
        by=BERT,
    )
    late = send(client, path, form)
    assert late.status_code == 409
    assert "Somebody was faster" in late.text
    assert BERT in late.text
    assert re.search(r"Highest spoke tension \(N\)</th><td>1100</td><td>1200</td>", late.text)
    assert 'value="1200"' in late.text
    # The page that says so carries the version that is there now: saving again is meant.
    assert send(client, path, {**filled(late.text), "_deed": ["save"]}).status_code == 303
    kept = values_in(now(workshop).texts, "rims", "OR33D")
    assert kept is not None
    assert kept["spoke_limit_n"] == 1200.0


def test_what_a_person_left_alone_follows_the_draft_and_undoes_nobodys_work(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "depth_mm": ["33,2"], "_deed": ["save"]}
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    changed = {**values, "mass_g": 401.0, "holes": [24, 28]}
    put_part(workshop, "rims", "OR33D", changed, version=draft.version, by=BERT)
    late = send(client, path, form)
    assert late.status_code == 409
    assert "Not touched here, so taken over from the draft: Hole counts, Mass (g)." in late.text
    assert 'value="401"' in late.text
    assert 'value="33.2"' in late.text
    assert send(client, path, {**filled(late.text), "_deed": ["save"]}).status_code == 303
    both = values_in(now(workshop).texts, "rims", "OR33D")
    assert both == {**changed, "depth_mm": 33.2}


def test_what_was_typed_is_not_lost_with_a_draft_that_was_closed_meanwhile(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "spoke_limit_n": ["1187"], "_deed": ["save"]}
    discard(workshop, version=draft.version, by=BERT)
    late = send(client, path, form)
    assert late.status_code == 409
    assert "published or given up while this was typed" in late.text
    assert "<dt>Highest spoke tension (N)</dt><dd>1187</dd>" in late.text
    assert the_draft(workshop) is None


def test_a_form_without_its_version_goes_over_nothing(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = filled(client.get(path).text)
    del form["_version"]
    assert send(client, path, {**form, "_deed": ["save"]}).status_code == 409
    assert now(workshop).version == draft.version


def test_a_copy_leaves_its_proofs_behind_and_shows_where_it_differs(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/new"
    page = client.get(f"{path}?like=OR45D").text
    assert "Left behind by the copy" in page
    assert "evidence.spoke_limit_n" in page
    form = filled(page)
    assert form["state"] == ["draft"]
    assert form["evidence.spoke_limit_n"] == [""]
    form |= {"_code": ["OR50D"], "name": ["Ondrel 50 D"], "seat_diameter_mm": ["53.96"]}
    looked = send(client, path, {**form, "_deed": ["look"]}).text
    assert "Try 539.6" in looked
    assert "Different from OR45D" in looked
    assert values_in(now(workshop).texts, "rims", "OR50D") is None
    # A faulty part may lie in a draft; the draft is then not published.
    assert send(client, path, {**form, "_deed": ["save"]}).status_code == 303
    assert now(workshop).edition is None
    assert "Try 539.6" in client.get("/catalog/draft").text
    assert "It is published when none is left" in client.get("/catalog/draft/publish").text


def test_a_new_part_needs_a_code_that_is_free(client: FlaskClient, draft: Draft):
    path = "/catalog/draft/parts/washers/new"
    form = {**filled(client.get(path).text), "_deed": ["save"]}
    assert "The code is missing" in send(client, path, form).text
    rim = "/catalog/draft/parts/rims/new"
    form = {**filled(client.get(rim).text), "_code": ["OR33D"], "_deed": ["save"]}
    taken = send(client, rim, form)
    assert taken.status_code == 422
    assert "OR33D is in the draft already" in taken.text


def test_a_part_is_taken_out_where_that_is_meant(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR38R/drop"
    page = client.get(path).text
    assert "Take OR38R out" in page
    assert send(client, path, filled(page)).status_code == 303
    assert values_in(now(workshop).texts, "rims", "OR38R") is None


def test_where_the_draft_cannot_be_read_nobody_is_said_to_name_a_part_or_not(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    said = "nobody can say which parts and rules name OR33D"
    whole = client.get("/catalog/draft/parts/rims/OR33D/drop").text
    assert "Others name it" in whole
    assert said not in whole
    values = values_in(draft.texts, "rims", "OR45D")
    assert values is not None
    spoilt = {**values, "depth_mm": -1.0}
    put_part(workshop, "rims", "OR45D", spoilt, version=draft.version, by=ANNA)
    assert said in client.get("/catalog/draft/parts/rims/OR33D/drop").text


def test_rules_that_name_a_part_are_told_before_it_is_taken_out(client: FlaskClient, draft: Draft):
    page = client.get("/catalog/draft/parts/spokes/SJ18/drop").text
    assert 'href="/catalog/draft/rules/blades-not-behind-alone"' in page
    assert "Rules name it" not in client.get("/catalog/draft/parts/rims/OR58D/drop").text


def test_a_draft_is_given_up_only_where_that_is_ticked(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    form = {"_by": [ANNA], "_version": [str(draft.version)]}
    assert send(client, "/catalog/draft/discard", form).status_code == 422
    assert the_draft(workshop) is not None
    form["_sure"] = ["yes"]
    assert send(client, "/catalog/draft/discard", form).status_code == 303
    assert the_draft(workshop) is None


@pytest.mark.parametrize(
    "path",
    [
        "/catalog/editions/99",
        "/catalog/editions/99/again",
        "/catalog/rules/none",
        "/catalog/drawing.svg",
        "/catalog/drawing.svg?_kind=decals",
    ],
)
def test_what_is_not_there_is_not_found(client: FlaskClient, path: str):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "parts/rims/NOPE",
        "parts/frames/OR33D",
        "parts/frames/new",
        "rules/none",
        "parts/rims/NOPE/drop",
    ],
)
def test_what_the_draft_does_not_have_is_not_found(client: FlaskClient, draft: Draft, path: str):
    assert client.get(f"/catalog/draft/{path}").status_code == 404


def test_a_drawing_follows_whatever_is_typed(client: FlaskClient):
    plain = client.get("/catalog/drawing.svg?_kind=rims")
    assert (plain.status_code, plain.mimetype) == (200, "image/svg+xml")
    typed = client.get("/catalog/drawing.svg?_kind=rims&depth_mm=33,5&holes=%3Cscript%3E&name=%22")
    assert "33.5" in typed.text
    assert "script" not in typed.text


def test_a_code_that_no_part_can_have_is_refused_before_it_is_saved(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/washers/new"
    for code in ("w9", "W/9", 'W"9', "W" * 30, "../W"):
        form = {**filled(client.get(path).text), "_code": [code], "_deed": ["save"]}
        page = send(client, path, form)
        assert page.status_code == 422, code
        assert "The code must be" in page.text
    assert now(workshop).version == draft.version


@pytest.mark.parametrize("kind", ["rims", "hubs", "spokes", "decals", "programs"])
def test_no_form_breaks_on_what_is_typed_into_it(
    client: FlaskClient, workshop: Workshop, draft: Draft, kind: str
):
    dice = random.Random(kind)
    path = f"/catalog/draft/parts/{kind}/{next(iter(getattr(running_edition(workshop), kind)))}"
    for _ in range(6):
        form = filled(client.get(path).text)
        for name in form:
            if not name.startswith("_") and dice.random() < 0.4:
                form[name] = [dice.choice(GARBAGE)]
        form["_deed"] = [dice.choice(["look", "save"])]
        page = send(client, path, form)
        assert page.status_code in (200, 303, 422), form
        assert "<script>alert" not in page.text
        assert client.get("/catalog/draft").status_code == 200
        assert client.get("/catalog/draft/parts").status_code == 200


def test_what_goes_without_saying_is_not_written_down(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "mass_g": ["396"], "_deed": ["save"]}
    assert form["state"] == ["active"]
    send(client, path, form)
    before, after = draft.texts["parts/rims.toml"], now(workshop).texts["parts/rims.toml"]
    assert after == before.replace("mass_g = 395.0", "mass_g = 396.0", 1)
