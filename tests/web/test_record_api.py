"""Records and recalls over HTTP: tagged, printed, found."""

from __future__ import annotations

import json

import pypdfium2
import pytest
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop
from buildsheet.bench.record import faults
from buildsheet.web.app import create_app
from tests.actions.bench.conftest import stand
from tests.actions.bench.day import rim_gate
from tests.actions.bench.test_record import built

__all__ = ["stand"]

V1 = "/api/v1"


@pytest.fixture
def client(stand: Workshop) -> FlaskClient:
    return create_app(stand).test_client()


@pytest.fixture
def front(stand: Workshop) -> str:
    return built(stand)


def test_a_record_is_whole_and_sent_again_only_where_it_changed(
    client: FlaskClient, stand: Workshop, front: str
):
    answer = client.get(f"{V1}/wheels/{front}/record")
    body = answer.get_json()
    assert faults(body) == ()
    assert answer.headers["ETag"] == f'"{body["digest"]}"'
    asked = {"If-None-Match": answer.headers["ETag"]}
    assert client.get(f"{V1}/wheels/{front}/record", headers=asked).status_code == 304
    rim_gate(stand, front)
    assert client.get(f"{V1}/wheels/{front}/record", headers=asked).status_code == 200


def test_a_record_is_the_same_file_each_time_with_its_digest_on_it(client: FlaskClient, front: str):
    first, again = (client.get(f"{V1}/wheels/{front}/record.pdf") for _ in range(2))
    assert first.mimetype == "application/pdf"
    assert first.data == again.data
    document = pypdfium2.PdfDocument(first.data)
    digest = client.get(f"{V1}/wheels/{front}/record").get_json()["digest"]
    for page in document:
        assert digest in page.get_textpage().get_text_range()
    document.close()
    asked = {"If-None-Match": first.headers["ETag"]}
    assert client.get(f"{V1}/wheels/{front}/record.pdf", headers=asked).status_code == 304
    letter = client.get(f"{V1}/wheels/{front}/record.pdf?paper=letter", headers=asked)
    assert letter.status_code == 200
    assert letter.data != first.data
    assert client.get(f"{V1}/wheels/{front}/record.pdf?paper=a5").status_code == 400


@pytest.mark.parametrize("path", ["record", "record.pdf"])
def test_a_wheel_that_is_not_there_has_no_record(client: FlaskClient, path: str):
    assert client.get(f"{V1}/wheels/W31-99999-A/{path}").status_code == 404


def test_a_recall_is_one_request(client: FlaskClient, front: str):
    answer = client.get(f"{V1}/wheels?by=rim-batch&what=L7")
    (wheel,) = answer.get_json()["wheels"]
    assert (wheel["serial"], wheel["number"], wheel["state"]) == (front, "D-1001", "inspected")
    assert client.get(f"{V1}/wheels?by=rim-batch&what=L8").get_json()["wheels"] == []
    assert len(client.get(f"{V1}/wheels?by=edition&what=16").get_json()["wheels"]) == 2


@pytest.mark.parametrize("query", ["", "?by=weather&what=L7", "?by=gauge", "?by=gauge&what=%20"])
def test_a_recall_of_nothing_is_refused(client: FlaskClient, query: str):
    answer = client.get(f"{V1}/wheels{query}")
    assert answer.status_code == 400
    assert json.loads(answer.data)["status"] == 400
