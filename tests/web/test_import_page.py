"""A spreadsheet on a page: tried before it is taken, then taken whole or not at all."""

from __future__ import annotations

import io
import re
from html import unescape

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from buildsheet.actions.desk.draft import begin, put_part, the_draft
from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.tables.grid import MOST_BYTES
from buildsheet.web.pages.catalog.import_page import XLSX

OWN_PAGE = {"Sec-Fetch-Site": "same-origin"}
ANNA, BERT = "A. Example", "B. Example"
PATH = "/catalog/draft/import"
LIGHTER = b"code,mass_g\nOR33D,390\n"


def upload(client: FlaskClient, name: str, data: bytes, **texts: str) -> TestResponse:
    """A form with a file, as a browser writes it."""
    bound = b"--the-bound"
    parts = [
        f'Content-Disposition: form-data; name="{key}"\r\n\r\n{text}'.encode()
        for key, text in texts.items()
    ]
    quoted = name.replace('"', "%22")
    head = f'Content-Disposition: form-data; name="file"; filename="{quoted}"\r\n\r\n'
    parts.append(head.encode() + data)
    body = b"".join(bound + b"\r\n" + part + b"\r\n" for part in parts) + bound + b"--\r\n"
    kind = "multipart/form-data; boundary=the-bound"
    return client.post(PATH, data=body, headers=OWN_PAGE, content_type=kind)


def go_on(client: FlaskClient, page: str, **texts: str) -> TestResponse:
    """Send the form of the page that asks whether to go on."""
    hidden = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)"', page)
    form = {name: unescape(value) for name, value in hidden} | texts
    return client.post(
        PATH, data={**form, "_deed": "apply"}, headers=OWN_PAGE, content_type="multipart/form-data"
    )


def test_a_file_is_tried_and_stores_nothing(client: FlaskClient, workshop: Workshop):
    page = upload(client, "rims.csv", LIGHTER)
    assert page.status_code == 200
    assert "would change 1 part" in page.text
    assert "395" in page.text
    assert "390" in page.text
    assert the_draft(workshop) is None


def test_what_was_looked_at_is_put_into_a_draft(client: FlaskClient, workshop: Workshop):
    page = upload(client, "rims.csv", LIGHTER).text
    assert "Begin a draft with it" in page
    nameless = go_on(client, page, _by=" ")
    assert nameless.status_code == 422
    assert "name is missing" in nameless.text
    # The file is still with the page.
    assert go_on(client, nameless.text, _by=ANNA).status_code == 303
    draft = the_draft(workshop)
    assert draft is not None
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    assert values["mass_g"] == 390.0
    assert "changes nothing" in upload(client, "rims.csv", LIGHTER).text


def test_a_kind_can_be_said_where_the_name_does_not_say_it(client: FlaskClient):
    assert "nothing is taken over" in upload(client, "may.csv", LIGHTER).text
    assert "would change 1 part" in upload(client, "may.csv", LIGHTER, _kind="rims").text


def test_a_draft_that_changed_meanwhile_is_not_gone_over(client: FlaskClient, workshop: Workshop):
    draft = begin(workshop, ANNA)
    page = upload(client, "rims.csv", LIGHTER).text
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    put_part(workshop, "rims", "OR33D", {**values, "mass_g": 380.0}, version=draft.version, by=BERT)
    late = go_on(client, page, _by=ANNA)
    assert late.status_code == 409
    assert BERT in late.text
    assert "380" in late.text
    assert go_on(client, late.text, _by=ANNA).status_code == 303


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("rims.csv", b"code,mass_g\nOR33D,39,0\n"),
        ("rims.csv", b"\xff\xfe\x00"),
        ("rims.xlsx", b"PK\x03\x04 and no more"),
        ("rims.xls", b"\xd0\xcf\x11\xe0" * 20),
        ("rims.csv", b"code,mass_g\nOR33D,0.39\n"),
        ("rims.csv", b"code,depth_cm\nOR33D,3.3\n"),
        ("rims.exe", b"MZ"),
        ('"><script>.csv', b"x"),
    ],
)
def test_a_file_with_faults_is_not_taken_and_every_fault_has_its_place(
    client: FlaskClient, workshop: Workshop, name: str, data: bytes
):
    page = upload(client, name, data)
    assert page.status_code == 422
    assert "nothing is taken over" in page.text
    assert 'class="finding block"' in page.text
    assert "<script>" not in page.text
    assert 'name="_carried"' not in page.text
    assert the_draft(workshop) is None


def test_no_file_and_a_spoilt_one_are_said(client: FlaskClient):
    assert "No file was chosen" in upload(client, "", b"").text
    for carried in ("", "not base 64!", "Zm9v\u00e4"):
        sent = client.post(
            PATH,
            data={"_carried": carried, "_name": "rims.csv", "_deed": "apply", "_by": ANNA},
            headers=OWN_PAGE,
        )
        assert sent.status_code == 422


def test_a_file_that_is_too_large_is_said_with_the_limit(client: FlaskClient):
    page = upload(client, "rims.csv", b"x" * (2 * MOST_BYTES))
    assert page.status_code == 413
    assert f"more than {MOST_BYTES // 1000} kB" in page.text


def test_the_largest_file_can_come_back_with_its_page(client: FlaskClient):
    rows = b"code,mass_g\nOR33D,390\n" + b"," * (MOST_BYTES - 23)
    page = upload(client, "rims.csv", rows)
    assert page.status_code in (200, 422)


def test_the_parts_in_force_go_out_as_a_spreadsheet_that_changes_nothing(client: FlaskClient):
    file = client.get("/catalog/parts.xlsx")
    assert file.mimetype == XLSX
    assert "parts-edition-16.xlsx" in file.headers["Content-Disposition"]
    assert "changes nothing" in upload(client, "parts.xlsx", file.data).text


def test_another_site_imports_nothing(client: FlaskClient, workshop: Workshop):
    form = {"file": (io.BytesIO(LIGHTER), "rims.csv"), "_deed": "apply", "_by": ANNA}
    sent = client.post(PATH, data=form, headers={"Sec-Fetch-Site": "cross-site"})
    assert sent.status_code == 403
    assert the_draft(workshop) is None
