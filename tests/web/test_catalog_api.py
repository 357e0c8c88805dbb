"""The desk over HTTP: an edit brings back its version, publishing says every reason, nothing is guessed."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from buildsheet.web.app import create_app
from buildsheet.web.openapi.document import openapi
from tests.web.test_openapi import fits
from tests.workshops import raw

JSON = "application/json"
DRAFT = "/api/v1/catalog/draft"


@pytest.fixture(scope="module")
def description() -> dict[str, Any]:
    return openapi()


class Desk:
    """Somebody at the desk, every answer held against the description."""

    def __init__(self, client: FlaskClient, description: dict[str, Any]) -> None:
        self.client, self.description = client, description

    def ask(
        self,
        method: str,
        path: str,
        body: object = None,
        *,
        version: object = None,
        described: str | None = None,
        **more: Any,
    ) -> Any:
        headers = {} if version is None else {"If-Match": f'"{version}"'}
        sent: dict[str, Any] = {} if body is None else {"data": raw(body), "content_type": JSON}
        answer = self.client.open(
            f"/api/v1{path}", method=method.upper(), headers=headers, **sent, **more
        )
        fits(self.description, described or path.partition("?")[0], method, answer)
        return answer

    def begin(self) -> int:
        answer = self.ask("post", "/catalog/draft", {"by": "A. Author"})
        assert answer.status_code == 201
        version: int = answer.json["version"]
        assert answer.headers["ETag"] == f'"{version}"'
        return version

    def put_part(self, code: str, body: object, version: object) -> Any:
        path = f"/catalog/draft/parts/{code}"
        return self.ask("put", path, body, version=version, described="/catalog/draft/parts/{code}")

    def change(self, edits: object, version: object) -> Any:
        body = {"by": "A. Author", "edits": edits}
        return self.ask("post", "/catalog/draft/changes", body, version=version)


@pytest.fixture
def desk(client: FlaskClient, description: dict[str, Any]) -> Desk:
    return Desk(client, description)


def codes(answer: Any) -> set[str]:
    return {each["code"] for each in answer.json["findings"]}


def test_the_editions_are_listed_and_shown(desk: Desk):
    listed = desk.ask("get", "/catalog/editions").json
    assert (listed["running"], [each["kind"] for each in listed["editions"]]) == (16, ["founding"])
    shown = desk.ask("get", "/catalog/editions/16", described="/catalog/editions/{number}").json
    assert (shown["number"], shown["before"], shown["differences"]) == (16, None, None)
    for number in ("17", "0", "x", "9999999"):
        path = f"/catalog/editions/{number}"
        answer = desk.ask("get", path, described="/catalog/editions/{number}")
        assert answer.status_code == 404


def test_there_is_no_draft_until_one_is_begun(desk: Desk):
    answer = desk.ask("get", "/catalog/draft")
    assert (answer.status_code, answer.json["type"]) == (404, "/problems#no-draft")
    version = desk.begin()
    found = desk.ask("get", "/catalog/draft")
    assert (found.status_code, found.json["version"], found.json["number"]) == (200, version, 17)
    assert found.json["differences"] == {"parts": [], "house": [], "rules": []}
    again = desk.ask("post", "/catalog/draft", {"by": "B. Second"})
    assert (again.status_code, again.json["type"]) == (409, "/problems#draft-open")


def test_a_workshop_without_a_catalog_has_nothing_to_draft(
    empty_workshop: Any, description: dict[str, Any]
):
    desk = Desk(create_app(empty_workshop).test_client(), description)
    assert desk.ask("post", "/catalog/draft", {"by": "A"}).status_code == 503
    assert desk.ask("get", "/catalog/editions").json == {"running": None, "editions": []}


def test_a_part_is_written_whole_under_its_version(desk: Desk):
    version = desk.begin()
    washer = {"name": "Washer 0.7", "thickness_mm": 0.7, "seat_shapes": ["ball"], "mass_g": 0.03}
    body = {"by": "A. Author", "kind": "washers", "values": washer}
    answer = desk.put_part("W07", body, version)
    assert (answer.status_code, answer.json["version"]) == (200, version + 1)
    assert answer.headers["ETag"] == f'"{version + 1}"'
    (part,) = answer.json["differences"]["parts"]
    assert (part["code"], part["what"], part["kind"]) == ("W07", "added", "washers")
    gone = desk.ask(
        "delete",
        "/catalog/draft/parts/W07?by=A.+Author",
        version=version + 1,
        described="/catalog/draft/parts/{code}",
    )
    assert (gone.status_code, gone.json["differences"]["parts"]) == (200, [])
    assert [each["says"] for each in gone.json["history"]][1:] == [
        "W07: 4 keys written",
        "W07 taken out",
    ]


def test_an_edit_without_its_version_is_refused(desk: Desk):
    desk.begin()
    for path in ("/catalog/draft/changes", "/catalog/draft/publish"):
        answer = desk.ask("post", path, {"by": "A", "edits": [{"drop_part": "SJB12"}]})
        assert (answer.status_code, answer.json["type"]) == (428, "/problems#version-missing")
    for version in ('W/"1"', "1", "*", '"x"', '"1", "2"'):
        answer = desk.client.put(
            f"{DRAFT}/parts/SJ18",
            data=raw({"by": "A", "values": {}}),
            content_type=JSON,
            headers={"If-Match": version},
        )
        assert answer.status_code == 400


def test_an_edit_from_an_older_version_is_told_what_changed_since(desk: Desk):
    version = desk.begin()
    first = desk.change([{"house": "tension.gauge_error", "value": 0.04}], version)
    assert first.status_code == 200
    second = desk.change([{"house": "tension.gauge_error", "value": 0.05}], version)
    assert (second.status_code, second.json["type"]) == (412, "/problems#draft-stale")
    (finding,) = second.json["findings"]
    assert finding["code"] == "data.draft-stale"
    assert finding["need"] == {"version": version + 1}
    (since,) = finding["have"]["since"]
    assert (since["says"], since["changed_by"]) == ("tension.gauge_error = 0.04", "A. Author")


def test_a_faulty_draft_is_kept_and_shown_with_its_way_out(desk: Desk):
    version = desk.begin()
    answer = desk.change([{"part": "OR33D", "set": {"seat_diameter_mm": 57.36}}], version)
    assert (answer.status_code, answer.json["sound"]) == (200, False)
    (finding,) = answer.json["findings"]
    assert finding["try"] == [{"at": "/parts/rims.toml/OR33D/seat_diameter_mm", "values": [573.6]}]
    (part,) = answer.json["differences"]["parts"]
    assert part["fields"] == [{"key": "seat_diameter_mm", "old": 573.6, "new": 57.36}]
    body = {"author": "A", "approver": "B", "reason": "r"}
    refused = desk.ask("post", "/catalog/draft/publish", body, version=answer.json["version"])
    assert (refused.status_code, codes(refused)) == (422, {"data.out-of-range"})


def test_an_edit_that_cannot_be_made_changes_nothing(desk: Desk):
    version = desk.begin()
    edits = [{"house": "tension.gauge_error", "value": 0.04}, {"drop_part": "SJ81"}, {"x": 1}]
    answer = desk.change(edits, version)
    assert (answer.status_code, codes(answer)) == (422, {"data.edit-form"})
    answer = desk.change(edits[:2], version)
    assert (answer.status_code, codes(answer)) == (422, {"data.edit-nowhere"})
    assert "Try SJ18" in answer.json["findings"][0]["says"]
    assert desk.ask("get", "/catalog/draft").json["version"] == version


def test_a_number_beyond_any_figure_gets_into_no_draft_and_no_history(desk: Desk):
    version = desk.begin()
    headers = {"If-Match": f'"{version}"'}
    body = b'{"by": "A. Author", "value": 1e999}'
    path = f"{DRAFT}/house/tension.gauge_error"
    assert desk.client.put(path, data=body, content_type=JSON, headers=headers).status_code == 400
    assert desk.ask("get", "/catalog/draft").json["version"] == version


def test_a_body_that_is_no_edit_says_where(desk: Desk):
    version = desk.begin()
    answer = desk.put_part("SJ18", {"by": "A", "values": {}, "kind": "wires", "x": 1}, version)
    assert answer.status_code == 400
    assert {each["at"] for each in answer.json["findings"]} == {"/kind", "/x"}
    bodies = (b"{", b'{"by": "A", "by": "B"}', b'{"by": NaN}', b'{"by": "\\ud800"}', b"\xff")
    for body in (*bodies, b'{"by": 1e999}'):
        sent = desk.client.post(DRAFT, data=body, content_type=JSON)
        assert sent.status_code == 400, body
    deep = b'{"by": "A", "edits": ' + b"[" * 5000 + b"]" * 5000 + b"}"
    headers = {"If-Match": f'"{version}"'}
    sent = desk.client.post(f"{DRAFT}/changes", data=deep, content_type=JSON, headers=headers)
    assert sent.status_code == 400
    assert desk.client.post(DRAFT, data=b"{}", content_type="text/plain").status_code == 415


def test_a_limit_is_published_by_two_people(desk: Desk):
    version = desk.begin()
    report = "bed test BT-OR33D-2, 2031"
    edit = {"part": "OR33D", "set": {"spoke_limit_n": 1200, "evidence.spoke_limit_n": report}}
    drafted = desk.change([edit], version).json
    assert "spoke_limit_n was 1250 and becomes 1200" in drafted["second_person"][0]
    publish = "/catalog/draft/publish"
    alone = desk.ask(
        "post", publish, {"author": "A", "reason": "bed test"}, version=drafted["version"]
    )
    assert (alone.status_code, codes(alone)) == (422, {"data.second-person"})
    body = {"author": "A", "approver": "B", "reason": "bed test"}
    done = desk.ask("post", publish, body, version=drafted["version"])
    assert done.status_code == 201
    assert done.headers["Location"] == "/api/v1/catalog/editions/17"
    shown = desk.ask("get", "/catalog/editions/17", described="/catalog/editions/{number}").json
    assert shown == done.json
    assert (shown["approver"], shown["standing"], shown["before"]) == ("B", "running", 16)
    assert desk.client.get("/api/v1/healthz").json["edition"] == 17
    assert desk.ask("get", "/catalog/draft").status_code == 404


def test_an_edition_is_taken_up_again(desk: Desk):
    version = desk.begin()
    drafted = desk.change([{"house": "pair.spare_nipples", "value": 3}], version).json
    body = {"author": "A", "reason": "r"}
    desk.ask("post", "/catalog/draft/publish", body, version=drafted["version"])
    path, described = "/catalog/editions/16/roll-back", "/catalog/editions/{number}/roll-back"
    done = desk.ask("post", path, body, described=described)
    assert (done.status_code, done.json["kind"], done.json["equal_to"]) == (201, "rolled-back", 16)
    assert desk.ask("post", path, {}, described=described).status_code == 422
    path = "/catalog/editions/99/roll-back"
    assert desk.ask("post", path, body, described=described).status_code == 404


def test_a_draft_is_thrown_away_only_by_whoever_saw_it(desk: Desk):
    version = desk.begin()
    assert desk.ask("delete", "/catalog/draft?by=A", version=version + 7).status_code == 412
    assert desk.ask("delete", "/catalog/draft", version=version).status_code == 400
    gone = desk.ask("delete", "/catalog/draft?by=A", version=version)
    assert (gone.status_code, gone.json["deed"], gone.json["changed_by"]) == (200, "discarded", "A")
    assert desk.ask("get", "/catalog/draft").status_code == 404


def test_rules_and_house_figures_have_their_own_addresses(desk: Desk):
    version = desk.begin()
    described = "/catalog/draft/house/{key}"
    body = {"by": "A", "value": 0.05}
    answer = desk.ask(
        "put",
        "/catalog/draft/house/tension.gauge_error",
        body,
        version=version,
        described=described,
    )
    assert answer.json["differences"]["house"] == [
        {"key": "tension.gauge_error", "old": 0.03, "new": 0.05}
    ]
    described = "/catalog/draft/rules/{rule_id}"
    path = "/catalog/draft/rules/one-nipple-colour"
    body = {"by": "A", "values": {"severity": "note"}}
    answer = desk.ask("put", path, body, version=answer.json["version"], described=described)
    assert answer.json["sound"] is False
    assert codes(answer) == {"data.missing-key"}
    path += "?by=A"
    answer = desk.ask("delete", path, version=answer.json["version"], described=described)
    (rule,) = answer.json["differences"]["rules"]
    assert (rule["id"], rule["what"]) == ("one-nipple-colour", "dropped")
