"""Moves are appended and never edited; keys are one request's; restarts and plans keep their order."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing as closed_after
from dataclasses import replace
from pathlib import Path

import pytest
from sqlite_utils import Migrations
from sqlite_utils.utils import sqlite3

from buildsheet.storage import editions, moves, orders, webhooks, wheels
from buildsheet.storage.database import Database
from buildsheet.storage.editions import StoredEdition
from buildsheet.storage.migrations import steps
from buildsheet.storage.moves import Restart, StoredMove
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import NewWheel, StoredPlan, StoredSheet

NOON = "2031-05-01T12:00:00.000Z"
ORDER = StoredOrder(
    "A31-00001-S", "shop-a", "D-1", 1, "accepted", 16, "sha256:d", "{}", "{}", NOON, current=True
)
MOVE = StoredMove(
    ORDER.id, 1, "hold", "k1", "sha256:b", "accepted", "on-hold", "A", None, "why", NOON, "{}"
)


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    opened = Database(tmp_path / "workshop.db")
    with opened.writing() as section:
        editions.insert(section, StoredEdition(16, "sha256:16", NOON, NOON), {"a": "1"})
        orders.insert(section, [ORDER])
        sheet = StoredSheet("code", "W31-00001-S", "A", 1, 16, "f", "sha256:0", NOON)
        first = StoredPlan("sha256:0", "t", "{}", "{}")
        wheels.insert_new(section, "planned", [NewWheel(ORDER.id, "front", first, sheet)])
    yield opened
    opened.close()


def test_moves_come_back_in_their_order(database: Database):
    second = replace(MOVE, move="approve", key=None, done_by="B")
    with database.writing() as section:
        moves.insert(section, MOVE)
        moves.insert(section, second)
        assert moves.of_order(section, ORDER.id) == (MOVE, second)
        assert moves.by_key(section, ORDER.id, "k1") == MOVE
        assert moves.by_key(section, ORDER.id, "k2") is None
        assert moves.newest_approval(section, ORDER.id) == second


def test_moves_of_an_older_file_are_carried_over_and_stay_guarded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    path = tmp_path / "older.db"
    closing = replace(MOVE, move="close", key=None)
    with monkeypatch.context() as older:
        older.setattr("buildsheet.storage.migrations.steps", migrations_before("0012"))
        with closed_after(Database(path)) as database:
            with database.writing() as section:
                editions.insert(section, StoredEdition(16, "sha256:16", NOON, NOON), {"a": "1"})
                orders.insert(section, [ORDER])
                moves.insert(section, MOVE)
            with pytest.raises(sqlite3.IntegrityError), database.writing() as section:
                moves.insert(section, closing)
    with closed_after(Database(path)) as database, database.writing() as section:
        moves.insert(section, closing)
        assert moves.of_order(section, ORDER.id) == (MOVE, closing)
        with pytest.raises(sqlite3.IntegrityError, match="only appended"):
            section.run("delete from order_moves")


def migrations_before(number: str) -> Migrations:
    """The steps of the program as it was."""
    older = Migrations("buildsheet")
    for step in steps._migrations:
        if step.name < number:
            older(name=step.name)(step.fn)
    return older


def test_a_key_is_one_requests_and_no_key_is_nobodys(database: Database):
    with database.writing() as section:
        moves.insert(section, replace(MOVE, key=None))
        moves.insert(section, replace(MOVE, key=None))
        moves.insert(section, MOVE)
    with pytest.raises(sqlite3.IntegrityError), database.writing() as section:
        moves.insert(section, MOVE)


@pytest.mark.parametrize("table", ["order_moves", "revision_plans", "wheel_restarts", "webhooks"])
@pytest.mark.parametrize("deed", ["delete from {}", "update {} set rowid = rowid + 1"])
def test_what_was_done_is_never_edited(database: Database, table: str, deed: str):
    with database.writing() as section:
        moves.insert(section, MOVE)
        wheels.insert_plan(section, StoredPlan("sha256:p", "t", "{}", "{}"))
        moves.keep_plans(section, ORDER.id, 1, {"front": "sha256:p"})
        moves.restart(section, Restart("W31-00001-S", (), 0, 0, NOON))
        webhooks.insert(section, name="a", url="u", secret="s", starts_after=0, by="A", at=NOON)
    with pytest.raises(sqlite3.IntegrityError, match="appended"), database.writing() as section:
        section.run(deed.format(table))


def test_a_revision_counts_from_its_storing_on_and_the_first_stays_readable(database: Database):
    second = replace(ORDER, revision=2, document='{"b":1}', state="on-hold")
    with database.writing() as section:
        orders.revise(section, second)
        assert orders.by_id(section, ORDER.id) == second
        first = orders.by_id(section, ORDER.id, 1)
        assert first == replace(ORDER, state="on-hold", current=False)


def test_the_plans_of_a_revision_are_those_that_were_kept_first(database: Database):
    with database.writing() as section:
        for name in ("one", "two"):
            wheels.insert_plan(section, StoredPlan(name, "t", f'"{name}"', "{}"))
        moves.keep_plans(section, ORDER.id, 1, {"front": "one"})
        moves.keep_plans(section, ORDER.id, 1, {"front": "two"})
        assert wheels.plans_of(section, ORDER.id, 1) == {"front": '"one"'}


def test_restarts_come_back_in_their_order_with_what_they_keep(database: Database):
    found = (
        Restart("W31-00001-S", ("rim-gate", "drill"), 3, 0, NOON),
        Restart("W31-00001-S", (), 5, 2, NOON),
    )
    with database.writing() as section:
        for each in found:
            moves.restart(section, each)
        assert moves.restarts_of(section, "W31-00001-S") == found
        assert moves.restarts_of(section, "W31-00002-T") == ()


def test_a_receiver_is_never_set_back(database: Database):
    with database.writing() as section:
        webhooks.insert(section, name="a", url="u", secret="s", starts_after=2, by="A", at=NOON)
        for sequence in (7, 5):
            webhooks.sent(section, "a", sequence)
        found = webhooks.named(section, "a")
    assert found is not None
    assert found.sent_to == 7
