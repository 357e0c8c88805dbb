"""A rule on a page: tried with its examples, said where it goes wrong, saved as it was typed."""

from __future__ import annotations

import random

from flask.testing import FlaskClient

from buildsheet.actions.desk.draft import put_rule
from buildsheet.actions.desk.rule_in_draft import rules_in_draft
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.workshop import Workshop
from tests.web.desk_forms import ANNA, BERT, GARBAGE, draft, filled, now, send

__all__ = ["draft"]


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


def test_an_expression_may_run_over_lines(client: FlaskClient, workshop: Workshop, draft: Draft):
    path = "/catalog/draft/rules/_new"
    needs = "use.system_kg <= 95.0 ||\r\n  spoke.section_mm2 > 2.5"
    form = {**filled(client.get(path).text), **RULE, "needs": [needs], "_deed": ["save"]}
    assert send(client, path, form).status_code == 303
    saved = rules_in_draft(now(workshop).texts)["light-spokes-light-load"]
    assert saved.values["needs"] == needs.replace("\r\n", "\n")
    assert now(workshop).findings == ()


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


def test_an_id_that_no_rule_can_have_is_refused_before_it_is_saved(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/rules/_new"
    page = send(client, path, {**RULE, "_code": ["Light Spokes"], "_deed": ["save"]})
    assert "The id must be in small letters" in page.text
    assert now(workshop).version == draft.version


def test_a_rule_form_that_was_overtaken_keeps_what_was_typed(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    path = "/catalog/draft/rules/few-spokes-heavy-rider"
    form = {**filled(client.get(path).text), "needs": ["use.system_kg <= 90.0"], "_deed": ["save"]}
    there = rules_in_draft(draft.texts)["few-spokes-heavy-rider"].values
    changed = {**there, "owner": "the bench"}
    put_rule(workshop, "few-spokes-heavy-rider", changed, version=draft.version, by=BERT)
    late = send(client, path, form)
    assert late.status_code == 409
    assert "taken over from the draft: Owner." in late.text
    assert "use.system_kg &lt;= 90.0" in late.text
    assert send(client, path, {**filled(late.text), "_deed": ["save"]}).status_code == 303
    kept = rules_in_draft(now(workshop).texts)["few-spokes-heavy-rider"].values
    assert (kept["owner"], kept["needs"]) == ("the bench", "use.system_kg <= 90.0")
