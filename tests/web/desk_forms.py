"""Forms of the desk as a browser sends them, for the tests of its pages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from buildsheet.actions.desk.draft import the_draft
from buildsheet.actions.desk.standing import Draft
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


def publish(client: FlaskClient, **texts: str) -> TestResponse:
    form = filled(client.get("/catalog/draft/publish").text)
    return send(client, "/catalog/draft/publish", {**form, **{k: [v] for k, v in texts.items()}})


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
