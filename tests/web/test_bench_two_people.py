"""Two people at one wheel: whoever sends a form of a page that others overtook is told so, and by whom."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.workshop import Workshop
from tests.actions.bench.day import pass_of, step, until_lacing, view_of
from tests.web.test_bench_pages import front, page_of, send

__all__ = ["front"]

SEEN = re.compile(r'name="seen" value="([0-9.]+)"')
MEANWHILE = re.compile(r'<div id="meanwhile"[^>]*>(.*?)</div>', re.DOTALL)
RELIEF = {"before_n": "1150", "after_n": "1140"}


@pytest.fixture
def laced(workshop: Workshop, front: str) -> str:
    until_lacing(workshop, front)
    return front


def seen_on(page: str) -> str:
    found = SEEN.search(page)
    assert found is not None
    return found[1]


def meanwhile_on(page: str) -> str:
    found = MEANWHILE.search(page)
    assert found is not None
    return " ".join(re.sub(r"<[^>]+>", " ", found[1]).split())


def test_a_page_that_nobody_overtook_says_nothing(
    client: FlaskClient, workshop: Workshop, laced: str
):
    view = view_of(workshop, laced)
    seen = seen_on(page_of(client, view))
    assert seen == "4.0.0"
    status, page = send(client, view, "relief", round="1", seen=seen, **RELIEF)
    assert (status, meanwhile_on(page)) == (303, "")
    assert seen_on(page) == "5.0.0"


def test_what_somebody_else_recorded_meanwhile_is_said_with_what_is_kept(
    client: FlaskClient, workshop: Workshop, laced: str
):
    view = view_of(workshop, laced)
    seen = seen_on(page_of(client, view))
    step(workshop, laced, "relief", by="P. Acker", round=1, before_n=1150, after_n=1140)
    status, page = send(client, view, "relief", round="2", seen=seen, **RELIEF)
    assert status == 303
    said = meanwhile_on(page)
    assert "Stress relief, by P. Acker, 2031-05-01 08:00 UTC" in said
    assert "Yours is kept as well." in said
    assert len(view_of(workshop, laced).steps) == 6


def test_the_same_round_sent_by_two_counts_once_and_says_whose_it_is(
    client: FlaskClient, workshop: Workshop, laced: str
):
    view = view_of(workshop, laced)
    page = page_of(client, view)
    step(workshop, laced, "relief", by="P. Acker", round=1, before_n=1150, after_n=1140)
    _, page = send(client, view, "relief", round="1", seen=seen_on(page), **RELIEF)
    assert "Not passed" in page
    assert "Round 1 was recorded by P. Acker" in page
    assert "record it as round 2" in page


def test_a_signature_under_a_reading_that_was_overtaken_is_refused_with_what_came_since(
    client: FlaskClient, workshop: Workshop, laced: str
):
    take_pass(workshop, laced, pass_of(workshop, laced))
    view = view_of(workshop, laced)
    seen = seen_on(page_of(client, view, "verdict"))
    take_pass(workshop, laced, pass_of(workshop, laced, "k-pass-0002", by="P. Acker", mass_g=700))
    status, page = send(client, view, "sign", number="1", verdict="pass", seen=seen)
    assert status == 422
    assert "Pass 1 cannot be signed: pass 2 is the newest." in page
    assert "Reading no. 2, by P. Acker" in meanwhile_on(page)
    assert "Look at it before you send again." in meanwhile_on(page)
    assert view_of(workshop, laced).signatures == ()


def test_no_sheet_is_issued_again_from_a_page_whose_own_is_void(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    made = reissue(workshop, front, because="rim measured", erd_mm=view.plan.erd_mm + 0.9)
    assert made is not None
    form = {"erd_mm": f"{view.plan.erd_mm + 1.4:g}", "because": "rim measured anew"}
    status, page = send(client, view, "reissue", **form)
    assert status == 409
    assert "This sheet is void" in page
    assert "Issue B is in force" in page
    assert view_of(workshop, front).wheel.stored.sheet.issue == "B"


def test_an_open_page_asks_what_was_done_since_it_was_made(
    client: FlaskClient, workshop: Workshop, laced: str
):
    view = view_of(workshop, laced)
    seen = seen_on(page_of(client, view))
    where = f"/w/{view.scanned.code}/state"
    assert client.get(where, query_string={"seen": seen}).get_json()["meanwhile"] == []
    step(workshop, laced, "relief", by="P. Acker", round=1, before_n=None, after_n=None)
    answer = client.get(where, query_string={"seen": seen}).get_json()
    assert answer["meanwhile"] == [
        {"what": "Stress relief, not passed", "by": "P. Acker", "at": "2031-05-01T08:00:00.000Z"}
    ]
    for nonsense in ("", "4", "4.0", "x.y.z", "9999999.0.0"):
        answer = client.get(where, query_string={"seen": nonsense}).get_json()
        assert answer["meanwhile"] == []
