"""Every route of the service asked for by everybody over HTTP: each gets exactly what the matrix says.

As tests/web/test_access.py does it inside one process, here through the real server with two workers, and
with addresses of an order, a wheel and an edition that are there. Who is turned away must not learn from
the answer whether they are.
"""

from __future__ import annotations

import http.client
import json
import re
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from werkzeug.routing import Rule

from buildsheet.actions.people.keys import add_key, revoke_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import PEOPLE, Role
from buildsheet.actions.people.signing_in import sign_in
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.storage import wheels
from buildsheet.web.access.matrix import MATRIX
from buildsheet.web.app import create_app
from tests.bench.intake import EXAMPLES, WHOLE, prepared
from tests.bench.serving.server import serving
from tests.web.test_access import COOKIE, PASSWORD, SAME_ORIGIN, Actor, bearer, entry_of, expected

PLACE: Final = re.compile(r"<(?:(?P<kind>[^:<>]+):)?(?P<name>[^<>]+)>")
LAST: Final = "POST /sign-out"
"""Ends the session of whoever asks: asked for when all else is."""

SHOP: Final = b"shop-a"
MOST_TOLD: Final = 20


@dataclass(frozen=True, slots=True)
class Wanted:
    """One thing to ask for; ``entry`` is its line in the matrix."""

    method: str
    address: str
    entry: str


def main() -> bool:
    """Whether the bar held."""
    with tempfile.TemporaryDirectory() as directory:
        file = prepared(Path(directory, "workshop.db"))
        workshop = open_workshop(file)
        places = _places(workshop)
        wanted = sorted(_wanted(workshop, places), key=lambda each: each.entry == LAST)
        actors = _actors(workshop)
        workshop.close()
        began = time.monotonic()
        with serving(WHOLE, file, log=Path(directory, "log")) as port:
            faults, told = _ask_all(port, wanted, actors)
        took_s = time.monotonic() - began
    missing = set(MATRIX) ^ {each.entry for each in wanted}
    faults += [f"{each} is only in the matrix or only in the service" for each in sorted(missing)]
    entries = len({each.entry for each in wanted})
    print(
        f"{entries} routes, {len(wanted)} with HEAD, x {len(actors)} who ask = "
        f"{len(wanted) * len(actors)} requests in {took_s:.0f} s"
    )
    print(f"what became of them: {dict(told.most_common())}")
    print(f"other than the matrix says: {len(faults)}")
    for fault in faults[:MOST_TOLD]:
        print(f"  FAULT {fault}")
    return not faults


def _places(workshop: Workshop) -> dict[str, str]:
    """Name of a place in a rule -> something that is there."""
    took = take_order(workshop, (EXAMPLES / "D-1001.json").read_bytes())
    if took.answered is None:
        raise RuntimeError(took.findings)
    with workshop.database.reading() as section:
        wheel = wheels.of_order(section, took.answered.order_id)[0]
    return {
        "order_id": took.answered.order_id,
        "serial": wheel.serial,
        "code": "KF2",
        "bench_code": wheel.sheet.code,
        "number": str(took.edition),
        "spoke": "SJB9",
        "kind": "hubs",
        "key": "sheet.lateral_mm",
        "filename": "buildsheet.css",
        "what": "readings",
    }


def _wanted(workshop: Workshop, places: dict[str, str]) -> Iterator[Wanted]:
    """Everything that can be asked for, at addresses that are there where there is such a thing."""

    def value(place: re.Match[str], rule: Rule) -> str:
        if place["kind"] and place["kind"].startswith("any("):
            return place["kind"].removeprefix("any(").split(",")[0].strip(" )'\"")
        name = place["name"]
        if name == "code" and rule.rule.startswith("/w/"):
            name = "bench_code"
        return places.get(name, "nothing-here")

    app = create_app(workshop)
    bound = app.url_map.bind("localhost")
    for rule in app.url_map.iter_rules():
        address = PLACE.sub(lambda place, rule=rule: value(place, rule), rule.rule)  # type: ignore[misc]
        for method in sorted((rule.methods or set()) - {"OPTIONS"}):
            if bound.match(address, method)[0] != rule.endpoint:
                raise RuntimeError(f"{method} {address} is not {rule.rule}")
            yield Wanted(method, address, entry_of(method, rule))


def _actors(workshop: Workshop) -> list[Actor]:
    """Nobody, four wrong proofs, and every role by key and signed in."""
    keys = {role: add_key(workshop, f"key-{role}", role).text for role in Role}
    gone = add_key(workshop, "gone", Role.OWNER)
    revoke_key(workshop, "gone")
    right = keys[Role.OWNER]
    slip = right[:-2] + ("AA" if right[-2:] != "AA" else "BB")
    actors = [
        Actor("nobody", None),
        Actor("a key that never was", None, bearer(f"bk_0a1b2c3d_{'x' * 43}")),
        Actor("an owner's key with a slip", None, bearer(slip)),
        Actor("a revoked key", None, bearer(gone.text)),
        Actor("a session that never was", None, session="x" * 43),
    ]
    actors += [Actor(f"{role} by key", role, bearer(keys[role]), api_only=True) for role in Role]
    for role in sorted(PEOPLE):
        add_person(workshop, f"Person {role}", role, PASSWORD)
        signed = sign_in(workshop, f"Person {role}", PASSWORD, "192.0.2.7")
        if signed is None:
            raise RuntimeError(f"Person {role} could not sign in")
        actors.append(Actor(f"{role} signed in", role, session=signed.secret))
    return actors


def _ask_all(
    port: int, wanted: list[Wanted], actors: list[Actor]
) -> tuple[list[str], Counter[str]]:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=30.0)
    faults: list[str] = []
    told: Counter[str] = Counter()
    for place, each in enumerate(wanted):
        for actor in actors:
            got, says = _asked(line, each, actor)
            told[got] += 1
            if got != expected(each.entry, actor):
                faults.append(f"{actor.name}: {each.method} {each.address}: {got}")
            if says:
                faults.append(f"{actor.name}: {each.method} {each.address}: {says}")
        if place % 60 == 59:
            print(f"{place + 1} of {len(wanted)} asked for by everybody", flush=True)
    line.close()
    return faults, told


def _asked(line: http.client.HTTPConnection, wanted: Wanted, actor: Actor) -> tuple[str, str]:
    """What became of a request (``asked`` who they are, ``refused`` for their role, ``let in``), and what
    is wrong with the answer besides."""
    headers = {**SAME_ORIGIN, **actor.headers}
    if actor.session:
        headers["Cookie"] = f"{COOKIE}={actor.session}"
    line.request(wanted.method, wanted.address, headers=headers)
    answer = line.getresponse()
    body, where = answer.read(), answer.headers.get("Location", "")
    got = "refused" if answer.status == 403 else "let in"
    if answer.status == 401 or where.startswith("/sign-in?next="):
        got = "asked"
    if answer.status >= 500:
        return got, f"status {answer.status}"
    if got != "let in" and SHOP in body:
        return got, "the answer tells of the order"
    if got != "let in" and "/api/" in wanted.address and wanted.method != "HEAD":
        return got, "" if str(json.loads(body).get("type", "")) else "no problem document"
    return got, ""
