"""Moves are appended and never edited, in a file of today and in one that was carried over."""

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
