"""Whatever is posted gets a clear refusal with a pointer, leaves nothing, and shows no traceback."""

from __future__ import annotations

import json

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop
from tests.workshops import counts, example, raw

JSON = "application/json"
GOOD = raw(example("D-1001"))


def with_text(place: str, text: str) -> bytes:
    """The good order with a piece of JSON text put in where a member stands."""
    marked = json.dumps(example("D-1001", **{place: "MARK"}))
    assert '"MARK"' in marked
    return marked.replace('"MARK"', text).encode("utf-8", "surrogatepass")


# What is posted, the status it gets, and where the first finding points.
GARBAGE: dict[str, tuple[bytes, int, str]] = {
    "nothing": (b"", 400, ""),
    "blanks": (b"   \n", 400, ""),
    "not JSON": (b"order please", 400, ""),
    "half an order": (GOOD[: len(GOOD) // 2], 400, ""),
    "two orders": (GOOD + GOOD, 400, ""),
    "a list": (b"[" + GOOD + b"]", 422, ""),
    "a number": (b"17", 422, ""),
    "null": (b"null", 422, ""),
    "an empty object": (b"{}", 422, "/finish"),
    "not UTF-8": (b'{"source": "\xff\xfe"}', 400, ""),
    "UTF-16": (GOOD.decode().encode("utf-16"), 400, ""),
    "a byte-order mark": (b"\xef\xbb\xbf" + GOOD, 400, ""),
    "zero bytes": (b"\x00" * 100, 400, ""),
    "deep lists": (b"[" * 20_000 + b"]" * 20_000, 400, ""),
    "deep objects": (b'{"a":' * 9_000 + b"1" + b"}" * 9_000, 400, ""),
    "1 MB of text": (with_text("/note", json.dumps("x" * 1_000_000)), 413, ""),
    "1 MB of blanks": (GOOD + b" " * 1_000_000, 413, ""),
    "NaN": (with_text("/use/rider_kg", "NaN"), 422, "/use/rider_kg"),
    "Infinity": (with_text("/use/rider_kg", "-Infinity"), 422, "/use/rider_kg"),
    "a number beyond a double": (with_text("/use/rider_kg", "1e999"), 422, "/use/rider_kg"),
    "a number of 300 digits": (with_text("/front/holes", "9" * 300), 422, "/front/holes"),
    "a negative mass": (with_text("/use/rider_kg", "-80"), 422, "/use/rider_kg"),
    "half a hole": (with_text("/front/holes", "24.5"), 422, "/front/holes"),
    "a number in quotes": (with_text("/front/holes", '"24"'), 422, "/front/holes"),
    "true for a number": (with_text("/front/holes", "true"), 422, "/front/holes"),
    "a list for a code": (with_text("/front/rim", '["OR33D"]'), 422, "/front/rim"),
    "an object for a code": (with_text("/front/rim", '{"code": "OR33D"}'), 422, "/front/rim"),
    "an empty code": (with_text("/front/rim", '""'), 422, "/front/rim"),
    "an unknown rim": (with_text("/front/rim", '"OR99"'), 422, "/front/rim"),
    "an unknown kind": (with_text("/kind", '"unicycle"'), 422, "/kind"),
    "no day of the calendar": (with_text("/wanted_by", '"2031-02-30"'), 422, "/wanted_by"),
    "control characters": (with_text("/note", '"a\\u0007b"'), 422, "/note"),
    "raw control characters": (with_text("/note", '"a\x07b"'), 400, ""),
    "half a surrogate pair": (with_text("/note", '"\\ud83d"'), 422, "/note"),
    "a raw surrogate": (with_text("/note", '"\ud83d"'), 400, ""),
    "a text that turns round": (with_text("/note", '"\\u202egnirts"'), 422, "/note"),
    "a note that is too long": (with_text("/note", json.dumps("x" * 5000)), 422, "/note"),
    "a price": (raw({**example("D-1001"), "price": 900}), 422, "/price"),
    "an unknown member": (raw({**example("D-1001"), "frnt": {}}), 422, "/frnt"),
    "a member with slashes": (raw({**example("D-1001"), "a/b~c": 1}), 422, "/a~1b~0c"),
    "a member given twice": (GOOD[:-1] + b', "kind": "front"}', 422, "/kind"),
    "a path for a number": (with_text("/number", '"../../etc/passwd"'), 422, "/number"),
    "mark-up for a number": (with_text("/number", '"<script>alert(1)</script>"'), 422, "/number"),
    "a statement for a number": (with_text("/number", '"x\'; drop table orders"'), 422, "/number"),
}


@pytest.mark.parametrize("what", GARBAGE)
def test_garbage_is_refused_with_a_pointer_and_leaves_nothing(
    client: FlaskClient, workshop: Workshop, what: str
):
    body, status, at = GARBAGE[what]
    before = counts(workshop)
    for route in ("/api/v1/orders", "/api/v1/orders/check"):
        answer = client.post(route, data=body, content_type=JSON)
        assert "Traceback" not in answer.text
        if route.endswith("check") and status == 422:
            assert (answer.status_code, answer.json["buildable"]) == (200, False)
        else:
            assert (answer.status_code, answer.mimetype) == (status, "application/problem+json")
            assert answer.json["status"] == status
        blocks = [each["at"] for each in answer.json["findings"] if each["severity"] == "block"]
        assert blocks
        assert blocks[0] == at
    assert counts(workshop) == before


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "", "image/png"]
)
def test_what_is_not_called_json_is_refused(client: FlaskClient, workshop: Workshop, kind: str):
    before = counts(workshop)
    answer = client.post("/api/v1/orders", data=GOOD, content_type=kind)
    assert (answer.status_code, answer.mimetype) == (415, "application/problem+json")
    assert answer.json["findings"][0]["code"] == "order.media-type"
    assert counts(workshop) == before


def test_a_position_is_named_where_reading_ended(client: FlaskClient):
    answer = client.post("/api/v1/orders", data=b'{"a": 1,\n "b" 2}', content_type=JSON)
    assert answer.json["findings"][0]["have"] == {"line": 2, "column": 6}


def test_markup_in_a_note_stays_text_everywhere(client: FlaskClient):
    note = '<script>alert("x")</script> & <b>bold</b> <img src="file:///etc/passwd"/>'
    body = raw(example("D-1001", **{"/note": note}))
    taken = client.post("/api/v1/orders", data=body, content_type=JSON)
    assert taken.status_code == 201
    page = client.get(f"/orders/{taken.json['id']}").text
    assert "<script>" not in page
    assert "&lt;script&gt;" in page
    assert client.get(taken.json["wheels"][0]["sheet"]).status_code == 200
    picture = client.get(f"{taken.json['wheels'][0]['wheel']}/sheet.svg").text
    assert "<script" not in picture
    assert "<img" not in picture
