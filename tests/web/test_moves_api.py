"""Moves, batches and events over HTTP, as the description promises them."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.moves.batch import MOST_BYTES, MOST_ORDERS
from buildsheet.actions.moves.cancel import cancel_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import moves, orders
from buildsheet.web.openapi.document import openapi
from tests.actions.moves.asking import WHY, changed_example, put, state_of, take
from tests.actions.test_take_order import on_hold_order
from tests.web.test_openapi import fits
from tests.workshops import Document, example, raw

JSON = "application/json"


@pytest.fixture(scope="module")
def description() -> Document:
    return openapi()


@pytest.fixture
def post(client: FlaskClient, description: Document) -> Any:
    """Post a document and see that the answer is one that the description promises."""

    def posted(path: str, document: object, described: str = "", **headers: str) -> Any:
        answer = client.post(
            f"/api/v1{path}", data=raw(document), content_type=JSON, headers=headers
        )
        fits(description, described or path, "post", answer)
        return answer

    return posted


def moved(post: Any, order: str, move: str, document: Document | None = None, **more: Any) -> Any:
    said = {"by": "A. Maker", "reason": WHY, **(document or {})}
    return post(f"/orders/{order}/{move}", said, f"/orders/{{order_id}}/{move}", **more)


def taken(post: Any, document: Document) -> str:
    return str(post("/orders", document).json["id"])


def test_an_order_on_hold_gets_its_sheet_by_an_approval(client: FlaskClient, post: Any):
    answer = post("/orders", on_hold_order()).json
    sheet = f"/api/v1/wheels/{answer['wheels'][0]['serial']}/sheet.pdf"
    waiting = client.get(sheet)
    assert waiting.status_code == 409
    approved = moved(post, answer["id"], "approve")
    assert (approved.status_code, approved.json["state"]) == (200, "accepted")
    assert client.get(sheet).status_code == 200


def test_an_order_that_left_the_house_is_closed(workshop: Workshop, post: Any):
    order = taken(post, example("D-1001"))
    assert moved(post, order, "close").status_code == 409
    with workshop.database.writing() as section:
        orders.move(section, order, "shipped")
    closed = moved(post, order, "close")
    assert (closed.status_code, closed.json["move"], closed.json["state"]) == (
        200,
        "close",
        "closed",
    )


def test_an_order_says_every_move_with_who_when_why_and_whence(client: FlaskClient, post: Any):
    order = taken(post, example("D-1001"))
    assert client.get(f"/api/v1/orders/{order}").json["moves"] == []
    moved(post, order, "hold")
    wanted = {"old_revision": 1, "order": example("D-1001", **{"/revision": 2, "/note": "Ring."})}
    moved(post, order, "change", {**wanted, "by": "B. Second"})
    shown = client.get(f"/api/v1/orders/{order}")
    told = shown.json["moves"]
    keys = ("move", "state_before", "state", "revision", "by", "reason")
    assert [tuple(each[key] for key in keys) for each in told] == [
        ("hold", "accepted", "on-hold", 1, "A. Maker", WHY),
        ("change", "on-hold", "on-hold", 2, "B. Second", WHY),
    ]
    assert {each["at"] for each in told} == {"2031-05-01T08:00:00.000Z"}
    fits(openapi(), "/orders/{order_id}", "get", shown)


def test_what_a_move_lacks_is_said_with_409(workshop: Workshop, post: Any):
    order = taken(post, example("D-1001"))
    put(workshop, order, "building")
    refused = moved(post, order, "cancel")
    assert refused.status_code == 409
    assert refused.json["type"] == "/problems#move-refused"
    assert refused.json["findings"][0]["need"] == {"approved_by": "a name", "reason": "why"}
    dry = moved(post, order, "cancel", {"dry_run": True})
    assert (dry.status_code, dry.json["needs_approval"], dry.json["done"]) == (200, True, False)
    done = moved(post, order, "cancel", {"approved_by": "B. Second"})
    assert (done.status_code, done.json["state"]) == (200, "cancelled")
    assert state_of(workshop, order) == "cancelled"


def test_a_change_is_answered_with_what_changed_and_replayed(post: Any):
    order = taken(post, example("D-1011"))
    wanted = {"old_revision": 1, "order": changed_example("D-1011")}
    first = moved(post, order, "change", wanted)
    assert (first.status_code, first.json["changed"]["kind"]) == (200, "structural")
    again = moved(post, order, "change", wanted)
    assert (again.json, again.headers["Idempotent-Replay"]) == (first.json, "true")
    stale = changed_example("D-1011") | {"revision": 3, "note": "Late."}
    assert moved(post, order, "change", {"old_revision": 1, "order": stale}).status_code == 409


def test_a_change_that_cannot_be_built_is_refused_with_pointers_into_the_request(post: Any):
    order = taken(post, example("D-1001"))
    wrong = example("D-1001", **{"/revision": 2, "/front/hub": "KF9"})
    refused = moved(post, order, "change", {"old_revision": 1, "order": wrong})
    assert refused.status_code == 422
    assert refused.json["findings"][0]["at"].startswith("/order/front/hub")


def test_a_key_belongs_to_one_request(post: Any):
    order = taken(post, example("D-1001"))
    key: dict[str, Any] = {"Idempotency-Key": "move-1"}
    assert moved(post, order, "hold", **key).status_code == 200
    assert moved(post, order, "hold", **key).headers["Idempotent-Replay"] == "true"
    assert moved(post, order, "approve", **key).status_code == 422


@pytest.mark.parametrize("move", ["hold", "approve", "release", "cancel", "change"])
def test_a_request_of_another_form_or_for_no_order_is_refused(post: Any, move: str):
    order = taken(post, example("D-1001"))
    path = f"/orders/{order}/{move}"
    described = f"/orders/{{order_id}}/{move}"
    assert post(path, {"by": "A", "nonsense": 1}, described).status_code == 422
    assert post(path, [], described).status_code == 422
    good: Document = {"by": "A. Maker", "reason": WHY}
    if move == "change":
        good |= {"old_revision": 1, "order": {}}
    assert post(f"/orders/A31-09999-X/{move}", good, described).status_code == 404


def test_a_batch_answers_every_order_by_itself_and_in_order(post: Any):
    orders = [example("D-1001"), example("D-1005"), example("D-1001"), example("D-1009"), {}]
    answer = post("/orders/batch", {"orders": orders})
    assert answer.status_code == 200
    items = answer.json["orders"]
    assert [each["status"] for each in items] == [201, 422, 201, 201, 422]
    assert [each["replayed"] for each in items] == [False, False, True, False, False]
    assert items[0]["body"] == items[2]["body"]
    assert items[0]["body"]["number"] == "D-1001"
    assert _counts(answer) == {"taken": 2, "replayed": 1, "refused": 2}
    again = post("/orders/batch", {"orders": orders})
    assert _counts(again) == {"taken": 0, "replayed": 3, "refused": 2}
    ids = [each["body"].get("id") for each in items]
    assert [each["body"].get("id") for each in again.json["orders"]] == ids


def _counts(answer: Any) -> dict[str, int]:
    return {each: answer.json[each] for each in ("taken", "replayed", "refused")}


def test_what_is_no_order_is_refused_in_its_place_and_holds_up_nobody(post: Any):
    good, more = example("D-1001"), example("D-1009")
    answer = post("/orders/batch", {"orders": [7, good, "x", None, [good], more, True]})
    items = answer.json["orders"]
    assert [each["status"] for each in items] == [422, 201, 422, 422, 422, 201, 422]
    assert _counts(answer) == {"taken": 2, "replayed": 0, "refused": 5}
    said = [each["body"]["findings"][0]["says"] for each in items if each["status"] == 422]
    assert said == [
        f"Here stands {what}; an order is an object."
        for what in ("a number", "text", "null", "a list", "true or false")
    ]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('{"note": "a", "note": "b"}', "order.duplicate-member"),
        ('{"revision": NaN}', "order.not-a-number"),
        ("-1e999", "order.wrong-type"),
        ('{"note": "\\u0007"}', "order.text"),
        ('{"note": ' + "[" * 20 + "]" * 20 + "}", "order.too-deep"),
        ("{" + ",".join(f'"m{place}": 1' for place in range(401)) + "}", "order.too-large"),
        ('{"a":' * 20 + "NaN" + "}" * 20, "order.too-deep"),
    ],
)
def test_a_fault_in_the_text_of_one_order_is_that_order_s_alone(
    client: FlaskClient, text: str, code: str
):
    good = json.dumps(example("D-1001"))
    body = f'{{"orders": [{text}, {good}]}}'.encode()
    answer = client.post("/api/v1/orders/batch", data=body, content_type=JSON).json
    alone = client.post("/api/v1/orders", data=text.encode(), content_type=JSON)
    assert answer is not None
    assert alone.json is not None
    refused, taken = answer["orders"]
    assert taken["status"] == 201
    assert refused["status"] == alone.status_code
    assert code in {each["code"] for each in refused["body"]["findings"]}
    assert refused["body"]["findings"] == alone.json["findings"]


@pytest.mark.parametrize(
    ("takes", "packed"),
    [("gzip", True), ("br, gzip;q=0.5", True), ("gzip;q=0", False), ("br", False), ("", False)],
)
def test_the_answers_of_a_batch_are_sent_as_small_as_the_sender_takes_them(
    client: FlaskClient, takes: str, packed: bool
):
    body = raw({"orders": [{"note": 1}, 7, {"\u00fc": 1}] * 60})
    said = {"X-Request-Id": "the-same"}
    plain = client.post("/api/v1/orders/batch", data=body, content_type=JSON, headers=said)
    again = client.post(
        "/api/v1/orders/batch",
        data=body,
        content_type=JSON,
        headers={**said, "Accept-Encoding": takes},
    )
    assert again.vary.to_header() == "Accept-Encoding"
    assert again.content_type == plain.content_type
    assert again.content_encoding == ("gzip" if packed else None)
    assert again.content_length == len(again.data)
    assert (gzip.decompress(again.data) if packed else again.data) == plain.data


def test_a_small_answer_of_a_batch_is_sent_as_it_is(post: Any):
    answer = post("/orders/batch", {"orders": [{}]}, **{"Accept-Encoding": "gzip"})
    assert answer.content_encoding is None
    assert [each["status"] for each in answer.json["orders"]] == [422]


def test_every_answer_of_a_batch_says_its_place_and_the_request_s_number_stands_once(post: Any):
    quoted = example("D-1001", **{"/number": '"request":"x",', "/revision": 2})
    answer = post("/orders/batch", {"orders": [example("D-1001"), {}, 7, quoted]})
    number = answer.headers["X-Request-Id"]
    assert answer.json["request"] == number
    assert answer.get_data(as_text=True).count(number) == 1
    items = answer.json["orders"]
    assert [each["at"] for each in items] == [f"/orders/{place}" for place in range(4)]
    assert [each["status"] for each in items] == [201, 422, 422, 422]
    assert all("request" not in each["body"] for each in items)


def test_a_batch_that_is_none_takes_nothing(client: FlaskClient, post: Any):
    too_many: list[object] = [{}] * (MOST_ORDERS + 1)
    for wrong, says in (
        ([], "The list has another length: at least 1 entry."),
        (too_many, "The list has another length: at most 500 entries."),
        ("x", "'x' has the wrong type here: a list is wanted."),
        (None, "null has the wrong type here: a list is wanted."),
    ):
        answer = post("/orders/batch", {"orders": wrong})
        assert answer.status_code == 422
        assert [each["says"] for each in answer.json["findings"]] == [says]
    assert post("/orders/batch", [example("D-1001")]).status_code == 422
    assert client.get("/api/v1/orders").json == {"orders": [], "next": None}


def test_a_batch_may_be_larger_than_an_order_and_has_its_own_limit(client: FlaskClient, post: Any):
    long = example("D-1001", **{"/note": "x" * 400})
    many = [{**long, "number": f"N-{place}"} for place in range(60)]
    assert len(raw({"orders": many})) > 64 * 1024
    assert post("/orders/batch", {"orders": many}).json["taken"] == 60
    too_large = b'{"orders": [' + b" " * MOST_BYTES + b"]}"
    answer = client.post("/api/v1/orders/batch", data=too_large, content_type=JSON)
    assert answer.status_code == 413
    assert answer.json is not None
    assert answer.json["findings"][0]["need"] == {"most_bytes": MOST_BYTES}


def test_events_come_in_order_without_gaps_and_without_names(
    client: FlaskClient, post: Any, description: Document
):
    order = taken(post, example("D-1001"))
    moved(post, order, "hold")
    moved(post, order, "cancel")
    seen: list[Document] = []
    after = 0
    while True:
        answer = client.get(f"/api/v1/events?after={after}&limit=2")
        fits(description, "/events", "get", answer)
        assert answer.json is not None
        if not answer.json["events"]:
            break
        seen += answer.json["events"]
        after = answer.json["next"]
    assert [each["sequence"] for each in seen] == list(range(1, len(seen) + 1))
    kinds = [each["kind"] for each in seen if each["order"] == order]
    assert kinds[:3] == ["order.taken", "order.held", "order.cancelled"]
    assert kinds[3:] == ["wheel.cancelled", "wheel.cancelled"]
    text = json.dumps(seen)
    assert "Maker" not in text
    assert WHY not in text
    assert answer.json["next"] == after


@pytest.mark.parametrize("query", ["after=-1", "after=x", "limit=0", "limit=1001", "after=1e3"])
def test_a_place_in_the_list_of_events_is_a_number(client: FlaskClient, query: str):
    assert client.get(f"/api/v1/events?{query}").status_code == 400


def test_whoever_is_signed_in_is_kept_whatever_name_is_typed(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "building")
    said = {"by": "Somebody Else", "reason": WHY, "approved_by": "The Owner"}
    done = cancel_order(workshop, order, raw(said), signed_in="A. Maker")
    assert done.outcome == "done"
    with workshop.database.reading() as section:
        (kept,) = moves.of_order(section, order)
    assert (kept.done_by, kept.approved_by) == ("A. Maker", "A. Maker")
