"""The shelves over HTTP: JSON for systems, a page for people."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

from tests.workshops import example, raw

JSON = "application/json"


def movements(*lines: dict[str, Any], key: str = "list-0001", **more: Any) -> dict[str, Any]:
    return {"key": key, "by": "S. Keeper", "movements": list(lines), **more}


def post(client: FlaskClient, document: object):
    return client.post("/api/v1/stock/movements", data=raw(document), content_type=JSON)


def test_goods_come_in_and_are_free(client: FlaskClient):
    assert client.get("/api/v1/stock").json == {"kept": False, "parts": []}
    entered = post(client, movements({"kind": "received", "part": "SSB9/267", "pieces": 11}))
    assert entered.status_code == 201
    assert entered.json["parts"][0]["free"] == 11
    shelf = client.get("/api/v1/stock?part=SSB9").json
    assert shelf["kept"] is True
    assert [(each["part"], each["free"]) for each in shelf["parts"]] == [("SSB9/267", 11)]


def test_what_is_expected_is_answered_with_its_days(client: FlaskClient):
    days = ((40, "2031-06-01"), (15, "2031-05-20"))
    lines = (
        {"kind": "expected", "part": "KF4/24", "pieces": pieces, "due_on": day}
        for pieces, day in days
    )
    answer = post(client, movements(*lines, key="expected-0001")).json
    early, late = {"on": "2031-05-20", "pieces": 15}, {"on": "2031-06-01", "pieces": 40}
    assert (answer["parts"][0]["expected"], answer["parts"][0]["coming"]) == (55, [early, late])
    came = post(client, movements({"kind": "received", "part": "KF4/24", "pieces": 20})).json
    assert (came["parts"][0]["expected"], came["parts"][0]["coming"]) == (
        35,
        [{**late, "pieces": 35}],
    )
    assert client.get("/api/v1/stock?part=KF4").json["parts"][0]["coming"] == [
        {**late, "pieces": 35}
    ]


def test_the_same_list_again_is_entered_once(client: FlaskClient):
    document = movements({"kind": "received", "part": "B", "pieces": 5})
    first, again = post(client, document), post(client, document)
    assert again.status_code == 201
    assert again.json == first.json
    assert again.headers["Idempotent-Replay"] == "true"
    other = post(client, movements({"kind": "received", "part": "B", "pieces": 6}))
    assert (other.status_code, other.json["type"]) == (422, "/problems#key-reused")


def test_a_correction_without_a_reason_is_refused_and_changes_nothing(client: FlaskClient):
    refused = post(client, movements({"kind": "counted", "part": "B", "pieces": 5}))
    assert refused.status_code == 422
    assert [each["code"] for each in refused.json["findings"]] == ["stock.reason-missing"]
    assert client.get("/api/v1/stock").json["kept"] is False


def test_every_fault_of_a_list_is_said_at_once_with_its_place(client: FlaskClient):
    refused = post(
        client,
        movements(
            {"kind": "received", "part": "SSB9/9", "pieces": 5},
            {"kind": "expected", "part": "B", "pieces": 5},
            {"kind": "received", "part": "B", "pieces": 0},
        ),
    )
    assert [(each["code"], each["at"]) for each in refused.json["findings"]] == [
        ("stock.unknown-item", "/movements/0/part"),
        ("data.missing-member", "/movements/1/due_on"),
        ("data.out-of-range", "/movements/2/pieces"),
    ]
    assert client.get("/api/v1/stock").json["kept"] is False


def test_an_order_whose_parts_are_not_there_is_a_conflict_that_says_what_is_short(
    client: FlaskClient,
):
    post(client, movements({"kind": "received", "part": "KF4/24", "pieces": 1}))
    answer = client.post("/api/v1/orders", data=raw(example("D-1003")), content_type=JSON)
    assert (answer.status_code, answer.json["type"]) == (409, "/problems#stock-short")
    assert {each["code"] for each in answer.json["findings"]} == {"stock.short"}
    said = " ".join(each["says"] for each in answer.json["findings"])
    assert "OR33D/24 is short by 1" in said
    assert "KF4/24" not in said
    assert client.get("/api/v1/orders").json["orders"] == []


def test_the_page_enters_a_delivery_and_shows_what_happened(client: FlaskClient):
    page = client.get("/stock")
    assert page.status_code == 200
    assert "Nothing was ever counted" in page.text
    form = {"key": "by-hand-1", "kind": "received", "part": "KF4/24", "pieces": "3", "by": "S."}
    entered = client.post("/stock", data=form, headers={"Sec-Fetch-Site": "same-origin"})
    assert entered.status_code == 303
    shown = client.get(entered.headers["Location"])
    assert "+3 on the shelf" in shown.text
    heads = [cell.partition("<")[0] for cell in shown.text.split('<th scope="col">')[1:]]
    assert heads[:4] == ["Article", "Free", "On the shelf", "Held"], "what a phone shows unscrolled"


def test_the_page_says_that_a_delivery_was_the_announced_one_and_takes_another_as_such(
    client: FlaskClient,
):
    line = {"kind": "expected", "part": "KF4/24", "pieces": 10, "due_on": "2031-05-22"}
    post(client, movements(line, key="comes-soon"))
    form = {"key": "by-hand-1", "kind": "received", "part": "KF4/24", "pieces": "1", "by": "S."}
    origin = {"Sec-Fetch-Site": "same-origin"}
    entered = client.post("/stock", data=form, headers=origin)
    shown = client.get(entered.headers["Location"]).text
    assert "1 that came in count against what was announced (1 for 22 May 2031)" in shown
    assert "<strong>9 expected:</strong>" in shown
    other = {**form, "key": "by-hand-2", "unannounced": "yes"}
    shown = client.get(client.post("/stock", data=other, headers=origin).headers["Location"]).text
    assert "that came in count" not in shown
    assert "<strong>9 expected:</strong>" in shown


def test_the_page_says_why_a_correction_was_not_entered(client: FlaskClient):
    form = {"key": "by-hand-1", "kind": "counted", "part": "B", "pieces": "3", "by": "S."}
    refused = client.post("/stock", data=form, headers={"Sec-Fetch-Site": "same-origin"})
    assert refused.status_code == 422
    assert "state a reason" in refused.text
    assert 'value="3"' in refused.text


def test_the_page_shows_what_is_expected_when_and_what_is_late(client: FlaskClient):
    for day, pieces in (("2031-06-01", 40), ("2031-04-20", 15)):
        line = {"kind": "expected", "part": "KF4/24", "pieces": pieces, "due_on": day}
        assert post(client, movements(line, key=f"comes-{day}")).status_code == 201
    page = client.get("/stock?part=KF4/24").text
    # The clock stands at the first of May.
    assert (
        "<strong>55 expected:</strong> 15 due 2031-04-20, not here yet; 40 on 2031-06-01." in page
    )
    row = page[page.index('<td class="comes">') :].partition("</td>")[0]
    assert 'late</strong>, due <span class="one">2031-04-20' in row
    assert '40 on <span class="one">2031-06-01' in row
    assert "announced, +40 expected on 2031-06-01, by S. Keeper" in " ".join(page.split())
    post(client, movements({"kind": "received", "part": "KF4/24", "pieces": 55}, key="all-here"))
    after = client.get("/stock?part=KF4/24").text
    assert "None is expected." in after
    assert "came in, +55 on the shelf, -55 expected, by S. Keeper" in " ".join(after.split())
