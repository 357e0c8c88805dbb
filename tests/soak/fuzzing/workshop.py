"""A workshop with orders, wheels at every station, shelves, gauges and a draft, behind its application;
and questions to it that look at whatever may never happen."""

from __future__ import annotations

import json
import logging
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from flask import Flask
from sqlite_utils.utils import sqlite3
from werkzeug.test import TestResponse

from buildsheet.actions.audit.run import audit
from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.desk.draft import begin, change, the_draft
from buildsheet.actions.editions import newest_number
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.moves.move import move_order
from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import PEOPLE, Role
from buildsheet.actions.people.signing_in import sign_in
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.amending.edits import PutHouse
from buildsheet.storage import stock, wheels
from buildsheet.web.app import create_app
from tests.actions.bench.day import pass_of, rim_gate, until_lacing, view_of
from tests.soak.fuzzing.answers import Answer, judge
from tests.soak.fuzzing.loop import Fault
from tests.workshops import EXAMPLES, Dice, example, morning, raw

Response = TestResponse
JSON: Final = "application/json"
ORDERS: Final = ("D-1010", "D-1001", "D-1011", "D-1007", "D-1008", "D-1002", "D-1003")
COOKIE: Final = "buildsheet_session"
PASSWORD: Final = "a few words together"


class _Last(logging.Handler):
    """The last exception that the service wrote to its log."""

    trouble: BaseException | None = None

    def emit(self, record: logging.LogRecord) -> None:
        _Last.trouble = record.exc_info[1] if record.exc_info else None


def logged() -> BaseException | None:
    """What the service logged last; from the first call on nothing of it goes to the screen."""
    log = logging.getLogger("buildsheet.web")
    if not log.handlers:
        log.addHandler(_Last())
        log.propagate = False
    return _Last.trouble


def made(path: Path) -> dict[str, Any]:
    """Make the workshop file. What comes back: ``keys`` (role -> key), ``orders`` (name -> number),
    ``wheels`` (station -> serial), ``sessions`` (role -> secret of a person who is signed in),
    ``codes`` (serial -> code of its sheet), ``edition``."""
    workshop = open_workshop(path, clock=morning, chance=Dice())
    try:
        assert load_catalog(workshop, demo_directory()).outcome == "loaded"
        text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
        assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
        take_movements(workshop, (EXAMPLES / "stock" / "arrivals.json").read_bytes())
        _fill_shelves(workshop)
        for table in gauge_tables():
            assert add_table(workshop, raw(table)).new
        check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}')
        orders: dict[str, str] = {}
        serials: list[str] = []
        for name in ORDERS:
            took = take_order(workshop, raw(example(name)))
            if took.answered is not None:
                orders[name] = took.answered.order_id
                with workshop.database.reading() as section:
                    found = wheels.of_order(section, took.answered.order_id)
                serials += [each.serial for each in found]
        for number in [*orders.values()][:-1]:
            for move in ("approve", "release"):
                move_order(
                    workshop, number, move, raw({"by": "A. Maker", "reason": "to the bench"})
                )
        stations = _at_stations(workshop, serials)
        keys = {role.value: add_key(workshop, f"key-{role}", role).text for role in Role}
        sessions = {role.value: _signed_in(workshop, role) for role in PEOPLE}
        # A draft that says something new: without, none of them could be published.
        draft = begin(workshop, "A. Author")
        edits = [PutHouse("pair.spare_nipples", 3)]
        assert change(workshop, edits, version=draft.version, by="A. Author").draft is not None
        return {
            "keys": keys,
            "sessions": sessions,
            "orders": orders,
            "wheels": stations,
            "serials": serials,
            "edition": newest_number(workshop),
            "codes": {serial: view_of(workshop, serial).scanned.code for serial in serials},
        }
    finally:
        workshop.close()


def _signed_in(workshop: Workshop, role: Role) -> str:
    """The secret of a session of somebody of this role."""
    name = add_person(workshop, f"A. {role.value.title()}", role, PASSWORD)
    signed = sign_in(workshop, name, PASSWORD, "here")
    assert signed is not None
    return signed.secret


def _fill_shelves(workshop: Workshop) -> None:
    """Three in four articles are there for every order of a round; the others run out."""
    with workshop.database.reading() as section:
        items = [each.item for each in stock.every_level(section)]
    lines = [{"kind": "received", "part": item, "pieces": 20_000} for item in items]
    plenty = [line for n, line in enumerate(lines) if n % 4]
    for n in range(0, len(plenty), 400):
        document = {"key": f"plenty-{n:04d}", "by": "S. Keeper", "movements": plenty[n : n + 400]}
        moved = take_movements(workshop, raw(document))
        assert moved.outcome == "entered", moved.findings


def gauge_tables() -> list[dict[str, Any]]:
    """The calibration tables of the examples."""
    paths = sorted((EXAMPLES / "bench" / "gauges").glob("*.json"))
    return [table for path in paths for table in json.loads(path.read_text(encoding="utf-8"))]


def _at_stations(workshop: Workshop, serials: list[str]) -> dict[str, str]:
    """Wheels before the rim gate, after it, laced, read, and signed."""
    names = ("planned", "gated", "laced", "read", "signed")
    found = dict(zip(names, serials, strict=False))
    rim_gate(workshop, found["gated"])
    for name in names[2:]:
        until_lacing(workshop, found[name])
    for name in names[3:]:
        take_pass(workshop, found[name], pass_of(workshop, found[name], f"k-pass-{name}"))
    document = {"key": "k-sign-0001", "by": "S. Second", "number": 1, "verdict": "pass"}
    sign(
        workshop,
        found["signed"],
        raw({**document, "issue": view_of(workshop, found["signed"]).task.issue}),
    )
    return found


class House:
    """The workshop's application on a copy of its own, made anew after every round."""

    def __init__(
        self,
        template: Path,
        facts: Mapping[str, Any],
        folder: Path,
        application: Callable[[Workshop], Flask] = create_app,
    ) -> None:
        self._template, self._folder, self.facts = template, folder, facts
        self._application = application
        self._round = 0
        logged()
        self._open()

    def _open(self) -> None:
        self._round += 1
        self._path = self._folder / f"round-{self._round}.db"
        shutil.copy(self._template, self._path)
        self.workshop = open_workshop(self._path, clock=morning, chance=Dice(seed=b"soak"))
        self.app = self._application(self.workshop)
        self.client = self.app.test_client()
        self._watch = sqlite3.connect(str(self._path), isolation_level=None)
        self._version = self.version()

    def version(self) -> int:
        """A number that changes whenever anybody else commits a change to the file."""
        return int(self._watch.execute("pragma data_version").fetchone()[0])

    def draft_version(self) -> int:
        """The version of the draft as it is now, which an edit brings back; 1 where there is none."""
        draft = the_draft(self.workshop)
        return draft.version if draft else 1

    def key(self, role: str = "owner") -> dict[str, str]:
        """The header of a role's key."""
        return {"Authorization": f"Bearer {self.facts['keys'][role]}"}

    def ask(
        self, method: str, address: str, body: bytes = b"", headers: Mapping[str, str] | None = None
    ) -> Response:
        """One request as the owner; raises Fault where the answer is none that may be given."""
        answer = self.client.open(
            address,
            method=method,
            data=body,
            content_type=JSON,
            headers={**self.key(), **(headers or {})},
        )
        self.look_at(method, address, answer)
        return answer

    def look(self, address: str, role: str = "owner") -> Answer:
        """A page as somebody of this role sees it."""
        client = self.app.test_client(use_cookies=False)
        cookie = f"{COOKIE}={self.facts['sessions'][role]}"
        return self.answer_of(client.get(address, headers={"Cookie": cookie}))

    def rows(self) -> dict[str, int]:
        """Table -> its rows."""
        names = self._watch.execute("select name from sqlite_master where type = 'table'")
        return {
            name: int(self._watch.execute(f"select count(*) from {name}").fetchone()[0])
            for (name,) in names.fetchall()
        }

    def look_at(self, method: str, address: str, answer: Any) -> None:
        """Raises Fault for an answer that may never be given, or that left what it may not."""
        found = self.answer_of(answer)
        with with_reason(found):
            judge(method, address, found)

    def answer_of(self, answer: Any) -> Answer:
        """The answer in the words of the judge, and whether anybody changed the file since the last."""
        before, self._version = self._version, self.version()
        text = answer.get_data().decode("utf-8", "replace")
        changed = self._version != before
        location = answer.headers.get("Location", "") if hasattr(answer, "headers") else ""
        return Answer(answer.status_code, answer.mimetype, text, changed, location)

    def rest(self) -> None:
        """Audit the copy, then begin with a new one; raises Fault."""
        notes = audit(self.workshop)
        self.close()
        self._open()
        if notes.faults:
            first = notes.faults[0]
            raise Fault(
                f"{len(notes.faults)} faults in an audit: {first.check} at {first.at}: {first.says}"
            )

    def close(self) -> None:
        """Give the copy back."""
        self._watch.close()
        self.workshop.close()
        for path in self._folder.glob(f"{self._path.name}*"):
            path.unlink()


@contextmanager
def with_reason(answer: Answer) -> Iterator[None]:
    """A fault of the program says what the service wrote to its log."""
    try:
        yield
    except Fault as fault:
        raise fault from (logged() if answer.status >= 500 else None)
