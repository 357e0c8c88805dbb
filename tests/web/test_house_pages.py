"""House figures on pages: with their marks, looked at, changed together."""

from __future__ import annotations

from flask.testing import FlaskClient

from buildsheet.actions.desk.house_in_draft import house_notes
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.workshop import Workshop
from tests.web.desk_forms import draft, filled, now, send

__all__ = ["draft"]


def test_house_figures_are_read_with_the_marks_of_their_sources(client: FlaskClient):
    page = client.get("/catalog/house").text
    assert "Rather long than short [proposal]" in page
    assert "0.3 mm" in page


def test_what_is_said_of_a_house_figure_stands_whole_on_its_own_line(draft: Draft):
    """A page shows one figure with its own line: a brace over three lines, or a mark that is closed on
    another, would leave a figure without its source."""
    broken = {
        key: note
        for key, note in house_notes(draft.texts).items()
        if note.count("[") != note.count("]") or "..." in note or set(note) & set("\\>")
    }
    assert broken == {}


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
    assert "Length: aim (mm)</th>" in client.get("/catalog/draft").text
    # Sent from the older version: what it had not touched follows, what both changed is shown.
    stale = {**form, "length.aim_mm": ["0.2"], "tension.gauge_error": ["0.03"]}
    late = send(client, path, {**stale, "_deed": ["save"]})
    assert late.status_code == 409
    assert "taken over from the draft: Tension: gauge error." in late.text
    assert "Length: aim (mm)</th><td>0.4</td><td>0.2</td>" in late.text
    assert filled(late.text)["tension.gauge_error"] == ["0.04"]
