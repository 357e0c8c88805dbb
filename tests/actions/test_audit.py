"""An audit of a workshop that was used finds nothing; whatever is changed behind its back, it names."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.actions.audit.notes import Notes
from buildsheet.actions.audit.run import audit
from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from tests.actions.bench.day import pass_of, until_lacing, view_of
from tests.actions.moves.asking import cancel, change, changed_example, take
from tests.workshops import EXAMPLES, Dice, example, morning, raw


@pytest.fixture(scope="module")
def used_file(loaded_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workshop with stock, orders taken, changed and cancelled, and a wheel built, read and signed."""
    path = Path(shutil.copy(loaded_file, tmp_path_factory.mktemp("used") / "workshop.db"))
    workshop = open_workshop(path, clock=morning, chance=Dice())
    shelves = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, shelves, by="S. Keeper").outcome == "entered"
    for table in json.loads((EXAMPLES / "bench" / "gauges" / "G1.json").read_text()):
        assert add_table(workshop, json.dumps(table).encode()).new is not None
    check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}')
    built = {
        each["position"]: each["serial"] for each in take(workshop, example("D-1001"))["wheels"]
    }
    changed = take(workshop, example("D-1010"))
    assert change(workshop, changed["id"], changed_example("D-1010")).findings == ()
    gone = take(workshop, example("D-1003"))
    assert cancel(workshop, gone["id"]).findings == ()
    assert take_order(workshop, raw(example("D-1004")), "key-1").outcome == "taken"
    erd_mm = view_of(workshop, built["rear"]).plan.erd_mm + 0.9
    made = reissue(workshop, built["rear"], because="the rim was measured", erd_mm=erd_mm)
    assert made is not None
    assert made.sheet is not None
    assert made.sheet.issue == "B"
    _build(workshop, built["front"])
    workshop.close()
    return path


def _build(workshop: Workshop, front: str) -> None:
    until_lacing(workshop, front)
    take_pass(workshop, front, pass_of(workshop, front))
    signature = {"key": "k-sign-0001", "issue": "A", "by": "S. Second", "number": 1}
    signed = sign(workshop, front, raw({**signature, "verdict": "pass"}))
    assert json.loads(signed.answer)["good"], signed.answer


@pytest.fixture
def used(used_file: Path, tmp_path: Path) -> Iterator[Workshop]:
    path = Path(shutil.copy(used_file, tmp_path / "workshop.db"))
    opened = open_workshop(path, clock=morning)
    yield opened
    opened.close()


def bend(path: Path, *statements: str) -> None:
    """Change a file as somebody does who knows the database and takes the guards away for it."""
    with closing(sqlite3.connect(str(path), isolation_level=None)) as connection:
        connection.execute("pragma synchronous = off")
        connection.execute("begin")
        guards = connection.execute(
            "select name, sql from sqlite_master where type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            connection.execute(f"drop trigger {name}")
        for statement in statements:
            assert connection.execute(statement).rowcount != 0, statement
        for _, sql in guards:
            connection.execute(sql)
        connection.execute("commit")


def checks_of(notes: Notes) -> set[str]:
    return {each.check for each in notes.faults}


def test_a_workshop_that_was_used_is_sound_and_everything_was_looked_at(used: Workshop):
    notes = audit(used)
    assert notes.faults == []
    assert all(notes.looked.values()), notes.looked
    assert notes.looked["passes"] == 1
    assert notes.looked["orders"] == 5


def test_an_audit_of_an_empty_workshop_says_that_nothing_was_there(empty_workshop: Workshop):
    notes = audit(empty_workshop)
    assert notes.faults == []
    assert notes.looked["orders"] == notes.looked["editions"] == 0


def test_an_audit_writes_nothing(used: Workshop):
    with used.database.reading() as section:
        before = section.rows("select * from events"), section.rows("select * from stock_holds")
    audit(used)
    with used.database.reading() as section:
        assert before == (
            section.rows("select * from events"),
            section.rows("select * from stock_holds"),
        )


BENT: dict[str, tuple[str, str]] = {
    "a figure in a catalog file": (
        "editions",
        "update edition_files set body = replace(body, 'retrues_alone = 2', 'retrues_alone = 9') "
        "where name = 'house.toml'",
    ),
    "a plan": ("plans", "update plans set record = replace(record, '1', '2') where rowid = 1"),
    "a sheet's fingerprint": (
        "sheets",
        "update sheets set fingerprint = 'sha256:0' where issue = 'A' and void_at is null",
    ),
    "what was ordered": (
        "orders",
        "update order_revisions set document = replace(document, 'D-1004', 'D-1005') "
        "where number = 'D-1004'",
    ),
    "what was answered": (
        "answers",
        "update order_revisions set answer = replace(answer, '\"edition\":', '\"edition\":1') "
        "where number = 'D-1004'",
    ),
    "the event that an answer names": (
        "answers",
        "update order_revisions set answer = replace(answer, '\"event\":', '\"event\":9') "
        "where number = 'D-1004'",
    ),
    "the key of an order": ("orders", "update replies set body_digest = 'sha256:0'"),
    "an event in between": ("numbers", "delete from events where sequence = 3"),
    "a movement in between": ("numbers", "delete from stock_movements where sequence = 3"),
    "a number that was given out": ("numbers", "update allotments set last = last + 1"),
    "a second look at stock": ("stock", "update stock_levels set shelf = shelf + 1 where held > 0"),
    "a hold that ended": (
        "stock",
        "update stock_holds set state = 'released' where state = 'held'",
    ),
    "a wheel without a sheet": (
        "sheets in force",
        "update sheets set void_at = issued_at, void_because = 'x' where issue = 'A'",
    ),
    "an order that is named nowhere": (
        "strays",
        "insert into orders values ('A31-00099-A', 's', 'n', 1, 'accepted', '2031-05-01T08:00:00Z')",
    ),
    "an event of no wheel": (
        "strays",
        "update events set serial = 'W31-09999-A' where sequence = (select max(sequence) from events)",
    ),
    "a reference to nothing": (
        "references",
        "update sheets set edition = 999 where issue = 'A' and void_at is null",
    ),
    "the verdict on a pass": ("passes", "update bench_passes set word = 'rework'"),
    "who read a pass": ("passes", "update bench_passes set read_by = 'Somebody Else'"),
    "a signature": ("passes", "update bench_signatures set word = 'pass-with-remark'"),
    "the outcome of a step": ("steps", "update bench_steps set good = 0 where sequence = 1"),
    "who did a step": ("steps", "update bench_steps set done_by = 'Nobody' where sequence = 2"),
    "readings that no record can show": ("records", "update bench_passes set answer = '{}'"),
    "an index": ("guards", "drop index sheets_in_force"),
}


@pytest.mark.parametrize("what", BENT)
def test_what_is_changed_behind_its_back_is_named(used: Workshop, what: str):
    check, statement = BENT[what]
    used.close()
    bend(used.path, statement)
    again = open_workshop(used.path, clock=morning)
    assert check in checks_of(audit(again))
    again.close()


def test_a_guard_that_was_taken_away_is_missed(used: Workshop):
    with used.database.writing() as section:
        section.run("drop trigger events_no_delete")
    assert [each.says for each in audit(used).faults] == ["trigger events_no_delete is missing"]


def test_a_program_that_follows_the_log_leaves_the_file_sound(used: Workshop):
    with used.database.writing() as section:
        section.run("create table _litestream_seq (id integer primary key, seq integer)")
        section.run("create table _litestream_lock (id integer)")
    assert audit(used).faults == []
    with used.database.writing() as section:
        section.run("create table _litestream_other (id integer)")
    assert [each.says for each in audit(used).faults] == ["table _litestream_other is not ours"]


def test_two_sheets_in_force_are_two_too_many(used: Workshop):
    used.close()
    bend(used.path, "drop index sheets_in_force", "update sheets set void_at = null")
    again = open_workshop(used.path, clock=morning)
    said = [each.says for each in audit(again).faults if each.check == "sheets in force"]
    again.close()
    assert said
    assert set(said) == {"2 sheets are in force, it should be 1"}


@pytest.mark.parametrize("may_remark", [1, 0])
def test_a_signature_stands_on_a_pass_that_a_remark_may_cover_and_on_no_other(
    used: Workshop, may_remark: int
):
    used.close()
    told = "update events set facts = replace(facts, '\"pass\"}}', '\"{}\"}}') where kind = '{}'"
    bend(
        used.path,
        "update bench_signatures set word = 'pass-with-remark', reason = 'good enough for a bale'",
        f"update bench_passes set word = 'rework', may_remark = {may_remark}, "
        'answer = replace(answer, \'"verdict":"pass"\', \'"verdict":"rework"\')',
        told.format("pass-with-remark", "wheel.inspected"),
        told.format("rework", "wheel.read"),
    )
    again = open_workshop(used.path, clock=morning)
    said = [each.says for each in audit(again).faults]
    again.close()
    expected = "it is signed as 'pass-with-remark', and was judged 'rework'"
    assert said == ([] if may_remark else [expected])


def test_a_page_that_the_disk_lost_is_told_and_the_other_checks_go_on(used: Workshop):
    with used.database.reading() as section:
        page = section.one("select rootpage from sqlite_master where name = 'order_revisions'")[0]
        size = section.one("pragma page_size")[0]
    used.close()
    bent = bytearray(used.path.read_bytes())
    bent[(page - 1) * size : page * size] = b"\xff" * size
    used.path.write_bytes(bent)
    again = open_workshop(used.path, clock=morning)
    notes = audit(again)
    again.close()
    assert {"pages", "orders"} <= checks_of(notes)
    assert notes.looked["editions"] == 1
    assert notes.looked["stock"] > 0
