"""A draft published on a page: by whom, why, by two where that is needed, never unseen."""

from __future__ import annotations

from flask.testing import FlaskClient

from buildsheet.actions.desk.draft import begin, change, put_part, the_draft
from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutHouse, PutPart, PutRule
from tests.web.desk_forms import ANNA, BERT, draft, filled, now, publish, send

__all__ = ["draft"]


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
    assert "<td>1250</td><td>1200</td>" in page
    assert running_edition(workshop).number == 17
    assert the_draft(workshop) is None
    # The older one is taken up again as a new one.
    again = "/catalog/editions/16/again"
    before = client.get(again)
    assert before.status_code == 200
    assert "OR33D: Highest spoke tension (N) was 1200 and becomes 1250." in before.text
    assert "Needed: a second person" in before.text
    form = filled(client.get(again).text)
    form |= {"_by": [ANNA], "_approver": [BERT], "_reason": ["the bed test was of another rim"]}
    assert send(client, again, form).status_code == 303
    assert running_edition(workshop).number == 18
    assert "It says what edition 16 said" in client.get("/catalog/editions/18").text


def test_what_changes_is_told_in_the_words_of_the_forms(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    edits = (
        PutPart("OR33D", values={"spoke_limit_n": 1200.0}),
        PutPart(
            "KF2",
            values={
                "left_flange": {"circle_mm": 45.5, "from_centre_mm": 22.5, "thickness_mm": 3.2}
            },
        ),
        PutHouse("tension.band_percent", 7.0),
        PutRule("disc-hub-takes-160", values={"owner": "the bench"}),
    )
    assert change(workshop, edits, version=draft.version, by=ANNA).draft is not None
    for address in ("/catalog/draft", "/catalog/draft/publish"):
        page = client.get(address).text
        told = page[page.index("What it changes") :]
        for words in (
            "Highest spoke tension (N)</th><td>1250</td><td>1200</td>",
            "Left flange: hole circle (mm)</th>",
            "Tension: band (%)</th>",
            "Owner</th>",
            "OR33D: Highest spoke tension (N) was 1250 and becomes 1200.",
        ):
            assert words in told, (address, words)
        for key in ("left_flange.circle_mm", "tension.band_percent</code>", "<code>owner"):
            assert key not in told.partition("<h2>Edits</h2>")[0]


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


def test_what_a_new_limit_has_to_prove_is_said_before_it_is_published(
    client: FlaskClient, draft: Draft
):
    path = "/catalog/draft/parts/rims/OR33D"
    changed = {"spoke_limit_n": ["1200"], "_deed": ["save"]}
    send(client, path, {**filled(client.get(path).text), **changed})
    page = client.get("/catalog/draft").text
    assert "Still to be proved" in page
    assert "highest spoke tension" in page[page.index("Still to be proved") :]


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
