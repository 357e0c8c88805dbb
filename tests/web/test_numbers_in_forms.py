"""Numbers that a form carries along, as no page ever wrote them: none is a fault of the program."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.actions.bench.view import bench_of_serial
from buildsheet.actions.desk.draft import begin, the_draft
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import wheels
from buildsheet.web.pages.whole_number import number_or_text
from tests.web.desk_forms import ANNA, draft, post
from tests.workshops import answer_of, counts, example, raw

__all__ = ["draft"]

FAR = ["9" * 5000, "9" * 30, str(2**63), "-1", "", "abc", "1e3", "\u00b2", "\u0663", "\x00", "1.0"]
TOO_FAR = ["9" * 5000, str(2**63)]
OF_DRAFT = [
    *("/catalog/draft/discard", "/catalog/draft/carry-over", "/catalog/draft/house"),
    *("/catalog/draft/publish", "/catalog/draft/approve", "/catalog/draft/rules/_new"),
    *("/catalog/draft/parts/rims/OR33D", "/catalog/draft/parts/rims/OR33D/drop"),
    *("/catalog/draft/rules/few-spokes-heavy-rider", "/catalog/draft/parts/rims/new"),
    "/catalog/draft/rules/few-spokes-heavy-rider/drop",
]


@given(text=st.text() | st.sampled_from(FAR) | st.integers().map(str))
def test_a_number_is_read_as_one_only_where_all_that_count_can_hold_it(text: str):
    read = number_or_text(text)
    if isinstance(read, int):
        assert 0 <= read < 10**15
        assert text == text.strip()
        assert int(text) == read
    else:
        assert read == text


@pytest.mark.usefixtures("draft")
@pytest.mark.parametrize("path", OF_DRAFT)
def test_a_version_that_is_none_changes_no_draft(
    client: FlaskClient, workshop: Workshop, path: str
):
    before = the_draft(workshop)
    for version in TOO_FAR:
        answer = post(client, path, _version=version, _by=ANNA, _sure="yes", author=ANNA)
        assert answer.status_code < 500, version
    assert the_draft(workshop) == before


def test_an_edition_that_is_none_is_not_taken_up_again(client: FlaskClient):
    for newest in TOO_FAR:
        answer = post(client, "/catalog/editions/16/approve", _newest=newest)
        assert answer.status_code == 422, newest


def test_a_revision_that_is_none_moves_no_order(client: FlaskClient, workshop: Workshop):
    order = answer_of(take_order(workshop, raw(example("D-1001"))))["id"]
    before = counts(workshop)
    for revision in (each for each in FAR if each.strip()):
        for move in ("hold", "change", "cancel"):
            told = post(
                client, f"/orders/{order}/{move}", by=ANNA, reason="why not", old_revision=revision
            )
            assert told.status_code in (409, 422), (move, revision)
    assert counts(workshop) == before


def test_a_pass_that_is_none_is_not_signed(client: FlaskClient, workshop: Workshop):
    order = answer_of(take_order(workshop, raw(example("D-1001"))))["id"]
    with workshop.database.reading() as section:
        serial = wheels.of_order(section, order)[0].serial
    view = bench_of_serial(workshop, serial)
    assert view is not None
    for number in (*TOO_FAR, "", "abc", "\u00b2"):
        told = post(
            client,
            f"/w/{view.scanned.code}/sign",
            number=number,
            key="k-0001-sign",
            issue=view.scanned.issue,
            by=ANNA,
            verdict="pass",
        )
        assert told.status_code == 422, number


def test_a_table_for_a_version_that_is_none_goes_into_no_draft(
    client: FlaskClient, workshop: Workshop
):
    before = begin(workshop, ANNA)
    for version in (*TOO_FAR, "", "abc"):
        told = post(
            client,
            "/catalog/draft/import",
            _version=version,
            _by=ANNA,
            _deed="apply",
            _name="rims.csv",
            _carried="Y29kZSxtYXNzX2cKT1IzM0QsMzkwCg==",
        )
        assert told.status_code == 409, version
    assert the_draft(workshop) == before
