"""A draft on pages: begun, filled, looked at, saved, overtaken, published; nothing is lost on the way."""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from html import unescape

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from buildsheet.actions.desk.draft import begin, put_part, the_draft
from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.actions.desk.rule_in_draft import rules_in_draft
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import Workshop

OWN_PAGE = {"Sec-Fetch-Site": "same-origin"}
ANNA, BERT = "A. Example", "B. Example"


def post(client: FlaskClient, path: str, **texts: str) -> TestResponse:
    return client.post(path, data={f"{key}": text for key, text in texts.items()}, headers=OWN_PAGE)


def send(client: FlaskClient, path: str, form: Mapping[str, list[str]]) -> TestResponse:
    return client.post(path, data=form, headers=OWN_PAGE)


def filled(page: str) -> dict[str, list[str]]:
    """What a browser would send of this page's last form, unchanged."""
    form: dict[str, list[str]] = {}
    body = page[page.rindex('<form method="post"') :]
    for tag in re.findall(r"<input [^>]*>", body):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and ("checkbox" not in tag or " checked" in tag):
            form.setdefault(name[1], []).append(unescape(value[1]) if value else "")
    for name_, inner in re.findall(
        r'<select [^>]*name="([^"]*)"[^>]*>(.*?)</select>', body, re.DOTALL
    ):
        chosen = re.search(r"<option selected>([^<]*)", inner)
        form[name_] = [unescape(chosen[1]) if chosen else ""]
    for name_, inner in re.findall(r'<textarea [^>]*name="([^"]*)"[^>]*>\n?([^<]*)<', body):
        form[name_] = [unescape(inner)]
    return form


@pytest.fixture
def draft(client: FlaskClient, workshop: Workshop) -> Draft:
    """A draft that Anna has begun on the page."""
    assert post(client, "/catalog/draft/begin", _by=ANNA).status_code == 303
    begun = the_draft(workshop)
    assert begun is not None
    return begun


def now(workshop: Workshop) -> Draft:
    found = the_draft(workshop)
    assert found is not None
    return found


def test_without_a_draft_every_page_of_one_leads_to_its_beginning(client: FlaskClient):
    assert "Begin draft 17" in client.get("/catalog/draft").text
    for path in ("parts", "parts/rims/OR33D", "parts/rims/new", "rules", "publish"):
        answer = client.get(f"/catalog/draft/{path}")
        assert (answer.status_code, answer.location) == (303, "/catalog/draft")


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
    assert "1250.0" in page
    assert "1200.0" in page
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
    assert re.search(r"spoke_limit_n</code></th><td>1100</td><td>1200</td>", late.text)
    assert 'value="1200"' in late.text
    # The page that says so carries the version that is there now: saving again is meant.
    assert send(client, path, {**filled(late.text), "_deed": ["save"]}).status_code == 303
    kept = values_in(now(workshop).texts, "rims", "OR33D")
    assert kept is not None
    assert kept["spoke_limit_n"] == 1200.0


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


def test_a_draft_is_given_up_only_where_that_is_ticked(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    form = {"_by": [ANNA], "_version": [str(draft.version)]}
    assert send(client, "/catalog/draft/discard", form).status_code == 422
    assert the_draft(workshop) is not None
    form["_sure"] = ["yes"]
    assert send(client, "/catalog/draft/discard", form).status_code == 303
    assert the_draft(workshop) is None


RULE = {
    "_code": ["light-spokes-light-load"],
    "scope": ["wheel"],
    "severity": ["block"],
    "when": ["spoke.section_mm2 < 1.8 && spoke.blade_mm == 0.0"],
    "needs": ["use.system_kg <= 95.0"],
    "at": ["spoke"],
    "says": ["Spoke {spoke.code} is thin: {use.system_kg} kg is more than it carries for long."],
    "reason": ["Thin round spokes tire early under heavy riders."],
    "source": ["house figure, proposal"],
    "owner": ["engineering"],
    "accepts": ['spoke = "SJ15", use.system_kg = 80.0'],
    "refuses": ['spoke = "SJ15", use.system_kg = 110.0'],
    "_by": [ANNA],
}


def test_a_rule_is_tried_with_its_examples_and_saved(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/rules/_new"
    form = {**filled(client.get(path).text), **RULE}
    looked = send(client, path, {**form, "_deed": ["look"]})
    assert "every example is answered as it should be" in looked.text
    done = send(client, path, {**form, "_deed": ["save"]})
    assert done.status_code == 303
    assert "light-spokes-light-load" in rules_in_draft(now(workshop).texts)
    assert now(workshop).edition is not None
    # Sent back as it is shown, it stays as it is.
    again = "/catalog/draft/rules/light-spokes-light-load"
    before = rules_in_draft(now(workshop).texts)["light-spokes-light-load"]
    sent = {**filled(client.get(again).text), "_deed": ["save"]}
    assert send(client, again, sent).status_code == 303
    assert rules_in_draft(now(workshop).texts)["light-spokes-light-load"] == before
    assert (
        "Rule light-spokes-light-load, which blocks, is added" in client.get("/catalog/draft").text
    )


def test_a_slip_in_an_expression_is_shown_with_a_caret(client: FlaskClient, draft: Draft):
    path = "/catalog/draft/rules/_new"
    form = {**filled(client.get(path).text), **RULE, "needs": ["use.sistem_kg <= 95.0"]}
    page = send(client, path, {**form, "_deed": ["look"]}).text
    assert "use.system_kg" in page
    assert "^</pre>" in page


def test_an_example_that_the_rule_answers_otherwise_is_said(client: FlaskClient, draft: Draft):
    path = "/catalog/draft/rules/_new"
    form = {**filled(client.get(path).text), **RULE, "accepts": RULE["refuses"]}
    page = send(client, path, {**form, "_deed": ["look"]}).text
    assert "the rule refuses this example" in page.replace("The rule", "the rule")


def test_an_example_that_cannot_be_read_is_kept_as_typed(client: FlaskClient, draft: Draft):
    path = "/catalog/draft/rules/_new"
    form = {**filled(client.get(path).text), **RULE, "accepts": ["spoke SJ15"]}
    page = send(client, path, {**form, "_deed": ["save"]})
    assert page.status_code == 422
    assert "“spoke SJ15” cannot be read" in page.text


def publish(client: FlaskClient, **texts: str) -> TestResponse:
    form = filled(client.get("/catalog/draft/publish").text)
    return send(client, "/catalog/draft/publish", {**form, **{k: [v] for k, v in texts.items()}})


def test_an_edition_is_published_by_two_where_a_limit_changes(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    changed = {"spoke_limit_n": ["1200"], "evidence.spoke_limit_n": ["bed test BT-9, 2031"]}
    send(client, path, {**filled(client.get(path).text), **changed, "_deed": ["save"]})
    assert "so somebody who did not make them" in client.get("/catalog/draft/publish").text
    alone = publish(client, _by=ANNA, _reason="bed test", _approver=f" {ANNA.upper()} ")
    assert alone.status_code == 422
    assert "a second person has to approve" in alone.text
    assert running_edition(workshop).number == 16
    # What was typed is still there.
    assert filled(alone.text)["_reason"] == ["bed test"]
    done = publish(client, _by=ANNA, _reason="bed test", _approver=BERT)
    assert done.status_code == 303
    page = client.get(done.location).text
    assert "Published." in page
    assert "1200.0" in page
    assert running_edition(workshop).number == 17
    assert the_draft(workshop) is None
    # The older one is taken up again as a new one.
    again = "/catalog/editions/16/again"
    assert client.get(again).status_code == 200
    form = filled(client.get(again).text)
    form |= {"_by": [ANNA], "_approver": [BERT], "_reason": ["the bed test was of another rim"]}
    assert send(client, again, form).status_code == 303
    assert running_edition(workshop).number == 18
    assert "It says what edition 16 said" in client.get("/catalog/editions/18").text


def test_a_draft_that_changed_under_the_signature_is_not_published(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    form = filled(client.get("/catalog/draft/publish").text)
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    put_part(workshop, "rims", "OR33D", {**values, "mass_g": 400.0}, version=draft.version, by=BERT)
    form |= {"_by": [ANNA], "_reason": ["as looked at"]}
    late = send(client, "/catalog/draft/publish", form)
    assert late.status_code == 409
    assert BERT in late.text
    assert running_edition(workshop).number == 16


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


def test_house_figures_are_read_with_the_marks_of_their_sources(client: FlaskClient):
    page = client.get("/catalog/house").text
    assert "Rather long than short [proposal]" in page
    assert "0.3 mm" in page


def test_house_figures_that_are_sent_back_unchanged_change_nothing(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/house"
    page = send(client, path, {**filled(client.get(path).text), "_deed": ["save"]})
    assert page.status_code == 422
    assert "Nothing differs" in page.text
    assert now(workshop).version == draft.version


def test_house_figures_are_looked_at_then_saved_together(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/house"
    form = filled(client.get(path).text)
    form |= {"tension.gauge_error": ["3"], "length.aim_mm": ["0,4"]}
    looked = send(client, path, {**form, "_deed": ["look"]})
    assert "allowed is a number from 0 to 0.2" in looked.text
    form["tension.gauge_error"] = ["0.04"]
    assert send(client, path, {**form, "_deed": ["save"]}).status_code == 303
    edition = now(workshop).edition
    assert edition is not None
    assert (edition.house.tension.gauge_error, edition.house.length.aim_mm) == (0.04, 0.4)
    # Comments stand where they stood.
    assert "rather long than short [proposal]" in now(workshop).texts["house.toml"]
    assert "House figure" in client.get("/catalog/draft").text.replace(
        "house figure", "House figure"
    )
    late = send(client, path, {**form, "length.aim_mm": ["0.2"], "_deed": ["save"]})
    assert late.status_code == 409


def test_a_code_that_no_part_can_have_is_refused_before_it_is_saved(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/washers/new"
    for code in ("w9", "W/9", 'W"9', "W" * 30, "../W"):
        form = {**filled(client.get(path).text), "_code": [code], "_deed": ["save"]}
        page = send(client, path, form)
        assert page.status_code == 422, code
        assert "The code must be" in page.text
    path = "/catalog/draft/rules/_new"
    page = send(client, path, {**RULE, "_code": ["Light Spokes"], "_deed": ["save"]})
    assert "The id must be in small letters" in page.text
    assert now(workshop).version == draft.version


def test_what_a_new_limit_has_to_prove_is_said_before_it_is_published(
    client: FlaskClient, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    changed = {"spoke_limit_n": ["1200"], "_deed": ["save"]}
    send(client, path, {**filled(client.get(path).text), **changed})
    page = client.get("/catalog/draft").text
    assert "Still to be proved" in page
    assert "spoke_limit_n" in page[page.index("Still to be proved") :]


def test_a_draft_that_an_edition_has_overtaken_is_put_on_it(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    send(client, path, {**filled(client.get(path).text), "mass_g": ["396"], "_deed": ["save"]})
    assert publish(client, _by=ANNA, _reason="weighed again").status_code == 303
    begun = begin(workshop, ANNA)
    again = "/catalog/editions/16/again"
    form = {**filled(client.get(again).text), "_by": [ANNA], "_reason": ["the scales were off"]}
    assert send(client, again, form).status_code == 303
    page = client.get("/catalog/draft").text
    assert "Edition 18 was published since this draft was begun" in page
    assert "It is published when none is left" in client.get("/catalog/draft/publish").text
    done = send(
        client, "/catalog/draft/carry-over", {"_version": [str(begun.version)], "_by": [ANNA]}
    )
    assert done.status_code == 303
    assert now(workshop).based_on == 18
    assert "was published since" not in client.get("/catalog/draft").text


GARBAGE = [
    "",
    " ",
    "\x00",
    "\u202e\ud7ff",
    "<script>alert(1)</script>",
    '"""',
    "'''\n[x]",
    "1" * 5000,
    "1e999",
    "-1",
    "NaN",
    "24 24 24",
    "24;;,24",
    "٣",
    "{",
    "[[rule]]",
    "\\u0000",
    "yes",
    "active",
    "🚲",
]


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


def test_no_rule_form_breaks_on_what_is_typed_into_it(client: FlaskClient, draft: Draft):
    dice = random.Random(5)
    for turn in range(10):
        form = {**RULE, "_version": ["1"], "_code": [f"rule-{turn}"]}
        for name in form:
            if not name.startswith("_") and dice.random() < 0.5:
                form[name] = [dice.choice(GARBAGE)]
        form["_deed"] = ["save" if turn % 2 else "look"]
        page = send(client, "/catalog/draft/rules/_new", form)
        assert page.status_code in (200, 303, 409, 422), form
        assert client.get("/catalog/draft/rules").status_code == 200


def test_an_expression_may_run_over_lines(client: FlaskClient, workshop: Workshop, draft: Draft):
    path = "/catalog/draft/rules/_new"
    needs = "use.system_kg <= 95.0 ||\r\n  spoke.section_mm2 > 2.5"
    form = {**filled(client.get(path).text), **RULE, "needs": [needs], "_deed": ["save"]}
    assert send(client, path, form).status_code == 303
    saved = rules_in_draft(now(workshop).texts)["light-spokes-light-load"]
    assert saved.values["needs"] == needs.replace("\r\n", "\n")
    assert now(workshop).findings == ()


def test_what_goes_without_saying_is_not_written_down(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    form = {**filled(client.get(path).text), "mass_g": ["396"], "_deed": ["save"]}
    assert form["state"] == ["active"]
    send(client, path, form)
    before, after = draft.texts["parts/rims.toml"], now(workshop).texts["parts/rims.toml"]
    assert after == before.replace("mass_g = 395.0", "mass_g = 396.0", 1)
