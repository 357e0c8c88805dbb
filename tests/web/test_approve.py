"""The second person approves over HTTP and on a page, signed in; a key and a typed name do not."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from buildsheet.actions.desk.draft import begin, change
from buildsheet.actions.desk.standing import Draft, the_draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutHouse, PutPart
from buildsheet.findings import Value
from buildsheet.web.app import create_app
from buildsheet.web.openapi.document import openapi
from tests.web.desk_forms import filled, post, send
from tests.web.test_openapi import fits
from tests.web.test_sessions import PASSWORD, SAME_ORIGIN, sign_in

ANNA, BERT = "A. Example", "B. Example"
V1 = "/api/v1/catalog"


@pytest.fixture
def app(workshop: Workshop) -> Flask:
    for name in (ANNA, BERT):
        add_person(workshop, name, Role.MANAGER, PASSWORD)
    return create_app(workshop)


@pytest.fixture
def draft(workshop: Workshop) -> Draft:
    begun = begin(workshop, ANNA)
    limit: dict[str, Value] = {
        "spoke_limit_n": 1200.0,
        "evidence": {"spoke_limit_n": "bed test BT-9, 2031"},
    }
    changed = change(workshop, [PutPart("OR33D", values=limit)], version=begun.version, by=ANNA)
    assert changed.draft is not None
    return changed.draft


def somebody(app: Flask, name: str) -> FlaskClient:
    client = app.test_client()
    assert sign_in(client, name).status_code == 303
    return client


def ask(client: FlaskClient, path: str, body: dict[str, Any], **headers: str) -> Any:
    return client.post(f"{V1}{path}", json=body, headers={**SAME_ORIGIN, **headers})


def test_b_approves_the_version_that_a_then_publishes(app: Flask, workshop: Workshop, draft: Draft):
    anna, bert, version = somebody(app, ANNA), somebody(app, BERT), f'"{draft.version}"'
    sign = {"author": ANNA, "approver": BERT, "reason": "bed test"}
    alone = ask(anna, "/draft/publish", sign, **{"If-Match": version})
    assert (alone.status_code, alone.json["findings"][0]["code"]) == (422, "data.second-person")
    described = "/catalog/draft/approve"
    bare = ask(bert, "/draft/approve", {"by": BERT}, **{"If-Match": str(draft.version)})
    assert (bare.status_code, "double quotes" in bare.json["detail"]) == (400, True)
    stale = ask(bert, "/draft/approve", {"by": BERT}, **{"If-Match": '"1"'})
    assert stale.status_code == 412
    other = ask(bert, "/draft/approve", {"by": ANNA}, **{"If-Match": version})
    assert (other.status_code, other.json["type"]) == (403, "/problems#other-name")
    approved = ask(bert, "/draft/approve", {"by": BERT}, **{"If-Match": version})
    assert (approved.status_code, approved.json["by"]) == (200, BERT)
    for answer in (stale, approved):
        fits(openapi(), described, "post", answer)
    shown = anna.get(f"{V1}/draft", headers=SAME_ORIGIN)
    assert [each["by"] for each in shown.json["approvals"]] == [BERT]
    # Whatever author is typed, it is Anna who publishes.
    done = ask(anna, "/draft/publish", {**sign, "author": BERT}, **{"If-Match": version})
    assert done.status_code == 201
    assert (done.json["author"], done.json["approver"]) == (ANNA, BERT)
    back = ask(bert, "/editions/16/approve", {"by": BERT, "newest": 17})
    assert (back.status_code, back.json["approved"]) == (200, "edition 16 after 17")
    fits(openapi(), "/catalog/editions/{number}/approve", "post", back)
    again = ask(anna, "/editions/16/roll-back", {"reason": "another rim's test"})
    assert (again.status_code, again.json["approver"]) == (201, BERT)


def test_a_key_approves_nothing(app: Flask, workshop: Workshop, draft: Draft):
    key = add_key(workshop, "desk-tool", Role.MANAGER).text
    headers = {"Authorization": f"Bearer {key}", "If-Match": f'"{draft.version}"'}
    refused = app.test_client().post(
        f"{V1}/draft/approve",
        data=json.dumps({"by": BERT}),
        headers=headers,
        content_type="application/json",
    )
    assert refused.status_code == 422
    assert refused.json["findings"][0]["code"] == "data.approver-unknown"


def test_on_a_page_the_second_person_presses_a_button(app: Flask, workshop: Workshop, draft: Draft):
    anna, bert = somebody(app, ANNA), somebody(app, BERT)
    page = bert.get("/catalog/draft/publish").text
    assert "Nobody has approved this yet." in page
    assert f"Approve this as {BERT}" in page
    assert 'name="_approver"' not in page
    approved = post(bert, "/catalog/draft/approve", _version=str(draft.version))
    assert approved.status_code == 303
    assert f"<p><strong>Approved by {BERT}</strong>" in bert.get("/catalog/draft/publish").text
    assert "Approve this as" not in bert.get("/catalog/draft/publish").text
    form = filled(anna.get("/catalog/draft/publish").text)
    done = send(anna, "/catalog/draft/publish", {**form, "_reason": ["bed test"]})
    assert done.status_code == 303
    assert running_edition(workshop).number == 17
    again = anna.get("/catalog/editions/16/again").text
    assert "Nobody has approved this yet." in again
    assert post(bert, "/catalog/editions/16/approve", _newest="16").status_code == 422
    assert post(bert, "/catalog/editions/16/approve", _newest="17").status_code == 303
    form = filled(anna.get("/catalog/editions/16/again").text)
    back = send(anna, "/catalog/editions/16/again", {**form, "_reason": ["another rim's test"]})
    assert back.status_code == 303
    assert running_edition(workshop).number == 18


def test_what_was_edited_since_is_looked_at_again(app: Flask, workshop: Workshop, draft: Draft):
    bert = somebody(app, BERT)
    edits = [PutHouse("pair.spare_nipples", 3)]
    assert change(workshop, edits, version=draft.version, by=ANNA).draft is not None
    late = post(bert, "/catalog/draft/approve", _version=str(draft.version))
    assert late.status_code == 409
    assert "Somebody was faster" in late.text
    assert the_draft(workshop) is not None


def test_an_open_house_types_the_second_name(workshop: Workshop, client: FlaskClient, draft: Draft):
    page = client.get("/catalog/draft/publish").text
    assert 'name="_approver"' in page
    assert "Approve this as" not in page
