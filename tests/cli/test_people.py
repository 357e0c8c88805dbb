"""`person`, `key`, and what `serve` asks before others may reach it."""

from __future__ import annotations

import io
import json
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person, list_people
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.signing_in import sign_in
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.cli.serve import Wish, judge

PASSWORD = "nine spokes and a half"


class Piped(io.TextIOWrapper):
    """A standard input that is no terminal."""

    def __init__(self, text: str | bytes) -> None:
        super().__init__(io.BytesIO(text.encode() if isinstance(text, str) else text))


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch):
    """Send something to standard input."""

    def send(text: str | bytes) -> None:
        monkeypatch.setattr("sys.stdin", Piped(text))

    return send


def signs_in(path: Path, name: str, password: str) -> bool:
    workshop = open_workshop(path)
    try:
        return sign_in(workshop, name, password, "192.0.2.7") is not None
    finally:
        workshop.close()


def test_a_person_is_added_with_a_password_from_standard_input(said, typed, tmp_path: Path):
    path = tmp_path / "w.db"
    typed(f"{PASSWORD}\n")
    answer = said("person", "add", "O. Owner", "--role", "owner", "--db", path)
    assert answer.code == 0
    assert "asks everybody who they are" in answer.out
    assert PASSWORD not in answer.out + answer.err
    assert signs_in(path, "O. Owner", PASSWORD)
    typed(f"{PASSWORD}\r\n")
    second = said("person", "add", "B. Builder", "--role", "builder", "--db", path, "--json")
    assert second.json == {"name": "B. Builder", "role": "builder", "first": False}
    assert signs_in(path, "B. Builder", PASSWORD)


@pytest.mark.parametrize("sent", ["", "\n", "short\n", b"\xff\xfe\n"])
def test_no_password_or_a_weak_one_adds_nobody(said, typed, tmp_path: Path, sent: str | bytes):
    typed(sent)
    answer = said("person", "add", "O. Owner", "--role", "owner", "--db", tmp_path / "w.db")
    assert answer.code == 2
    assert answer.err.count("\n") == 1
    workshop = open_workshop(tmp_path / "w.db")
    assert list_people(workshop) == ()
    workshop.close()


def test_people_are_listed_ended_and_given_another_password(said, typed, workshop: Workshop):
    add_person(workshop, "B. Builder", Role.BUILDER, PASSWORD)
    typed("eleven words of steel\n")
    assert said("person", "password", "b. builder", "--db", workshop.path).code == 0
    assert not signs_in(workshop.path, "B. Builder", PASSWORD)
    assert signs_in(workshop.path, "B. Builder", "eleven words of steel")
    assert said("person", "end", "B. Builder", "--db", workshop.path).code == 0
    assert not signs_in(workshop.path, "B. Builder", "eleven words of steel")
    listed = said("person", "list", "--db", workshop.path, "--json")
    assert [(each["name"], each["ended_at"] is None) for each in listed.json["people"]] == [
        ("B. Builder", False)
    ]
    assert "argon2" not in listed.out
    words = said("person", "list", "--db", workshop.path).out
    assert "B. Builder" in words
    assert "ended" in words
    again = said("person", "end", "B. Builder", "--db", workshop.path)
    assert again.code == 2
    assert "person list" in again.err


def test_a_key_is_shown_once_and_known_by_its_prefix(said, workshop: Workshop):
    answer = said("key", "add", "--role", "intake", "--name", "shop-a", "--db", workshop.path)
    assert answer.code == 0
    text = next(line for line in answer.out.splitlines() if line.startswith("bk_"))
    listed = said("key", "list", "--db", workshop.path)
    assert text not in listed.out
    assert text[:11] in listed.out
    assert said("key", "revoke", text[:11], "--db", workshop.path).code == 0
    assert "revoked" in said("key", "list", "--db", workshop.path).out
    assert said("key", "revoke", "shop-a", "--db", workshop.path).code == 2


def test_a_key_may_be_made_to_watch_and_a_person_may_not(said, workshop: Workshop):
    words = ("--role", "watch", "--db", workshop.path)
    key = said("key", "add", "--name", "prometheus", *words, "--json")
    assert (key.code, key.json["role"], key.json["source"]) == (0, "watch", None)
    person = said("person", "add", "W. Watcher", *words)
    assert person.code == 2
    assert "'watch' is not one of" in person.err


def test_a_key_as_json(said, workshop: Workshop):
    words = ("key", "add", "--role", "intake", "--name", "a", "--source", "shop-a")
    made = said(*words, "--db", workshop.path, "--json").json
    assert (made["source"], made["first"], len(made["key"])) == ("shop-a", True, 55)
    listed = said("key", "list", "--db", workshop.path, "--json").json["keys"]
    assert [(each["prefix"], each["role"]) for each in listed] == [(made["prefix"], "intake")]


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.7", "::", "wheels.example"])
def test_an_address_that_others_reach_needs_people_and_a_proxy_on_purpose(host: str):
    named = ("wheels.example",)
    assert judge(Wish(host), asks_nobody=True)[1] is not None
    assert judge(Wish(host), asks_nobody=False)[1] is not None
    assert judge(Wish(host, named), asks_nobody=False)[1] is not None
    assert judge(Wish(host, named, behind_proxy=True), asks_nobody=True)[1] is not None
    assert judge(Wish(host, behind_proxy=True), asks_nobody=False)[1] is not None
    assert judge(Wish(host, named, behind_proxy=True), asks_nobody=False) == ((), None)


def test_a_proxy_makes_this_machines_address_reachable_too():
    named = ("wheels.example",)
    assert judge(Wish("127.0.0.1", named, behind_proxy=True), asks_nobody=True)[1] is not None
    assert judge(Wish("127.0.0.1", named, behind_proxy=True), asks_nobody=False) == ((), None)


def test_an_open_house_says_so_and_nobody_opens_a_closed_one():
    told, refused = judge(Wish("127.0.0.1"), asks_nobody=True)
    assert "nobody is asked" in told[0]
    assert refused is None
    told, refused = judge(Wish("0.0.0.0", open_to_all=True), asks_nobody=True)
    assert "read everything" in told[0]
    assert refused is None
    for host in ("127.0.0.1", "0.0.0.0"):
        assert judge(Wish(host, open_to_all=True), asks_nobody=False)[1] is not None


@pytest.mark.parametrize(
    "name", ["https://wheels.example", "wheels.example:443", "a b", "*", "a,b"]
)
def test_a_host_name_is_a_name(name: str):
    refused = judge(Wish("127.0.0.1", (name,), behind_proxy=True), asks_nobody=False)[1]
    assert refused is not None
    assert repr(name) in refused


def ask(address: str, headers: dict[str, str]) -> tuple[int, Any]:
    request = urllib.request.Request(address, headers=headers)
    try:
        with urllib.request.urlopen(request) as answer:
            return answer.status, json.load(answer)
    except urllib.error.HTTPError as refused:
        return refused.code, json.loads(refused.read() or b"null")


def test_a_served_workshop_behind_a_proxy_asks_for_tls_name_and_key(workshop: Workshop):
    key = add_key(workshop, "erp", Role.MANAGER).text
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    words = ["serve", "--db", str(workshop.path), "--port", str(port), "--workers", "1"]
    proxy = ["--behind-proxy", "--allow-host", "wheels.example"]
    server = subprocess.Popen(
        [sys.executable, "-c", "from buildsheet.cli import main; main()", *words, *proxy],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        for _ in range(150):
            try:
                assert ask(f"http://127.0.0.1:{port}/healthz", {})[0] == 200
                break
            except urllib.error.URLError:
                time.sleep(0.2)
        orders = f"http://127.0.0.1:{port}/api/v1/orders"
        through = {"Host": "wheels.example", "X-Forwarded-Proto": "https"}
        with_key = {"Authorization": f"Bearer {key}"}
        assert ask(orders, {**through, **with_key})[0] == 200
        assert ask(orders, through)[0] == 401
        assert (
            ask(orders, {"Host": "wheels.example", **with_key})[1]["type"] == "/problems#needs-tls"
        )
        elsewhere = {**through, **with_key, "Host": "elsewhere.example"}
        assert ask(orders, elsewhere)[1]["type"] == "/problems#unknown-host"
    finally:
        server.terminate()
        _, err = server.communicate(timeout=60)
    assert server.returncode == 0
    assert key not in err


def test_the_second_person_approves_with_their_own_password(
    said, typed, workshop: Workshop, tmp_path: Path
):
    edits = tmp_path / "edits.json"
    report = {"spoke_limit_n": 1200, "evidence.spoke_limit_n": "bed test BT-9, 2031"}
    edits.write_text(json.dumps([{"part": "OR33D", "set": report}]))
    at = ("--db", workshop.path)
    said("catalog", "change", edits, "--by", "A. Example", *at)
    open_house = said("catalog", "approve", "--by", "B. Example", "--version", 2, *at)
    assert (open_house.code, "data.approver-unknown" in open_house.out) == (1, True)
    for name, role in (("A. Example", Role.MANAGER), ("B. Example", Role.MANAGER)):
        add_person(workshop, name, role, PASSWORD)
    add_person(workshop, "C. Builder", Role.BUILDER, PASSWORD)
    sign = ("--by", "A. Example", "--approver", "B. Example", "--reason", "bed test")
    assert said("catalog", "publish", *sign, *at).code == 1
    words = ("catalog", "approve", "--version", 2, *at, "--by")
    typed("not the password\n")
    assert said(*words, "B. Example").code == 1
    typed(f"{PASSWORD}\n")
    assert said(*words, "C. Builder").code == 1
    for name in ("A. Example", "B. Example"):
        typed(f"{PASSWORD}\n")
        done = said(*words, name)
        assert (done.code, f"{name} has approved draft 2" in done.out) == (0, True)
    assert said("catalog", "publish", *sign, *at).code == 0
