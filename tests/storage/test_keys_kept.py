"""A file from before the fifth role keeps its keys, and takes keys of that role afterwards."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
import sqlite_utils
from sqlite_utils.utils import sqlite3

from buildsheet.actions.people.keys import add_key, key_holder, list_keys
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import open_workshop
from buildsheet.storage import whole
from buildsheet.storage.migrations import steps
from tests.workshops import Dice, morning


def earlier_file(path: Path) -> str:
    """A workshop file as it was before that step, with one key; its text."""
    workshop = open_workshop(path, clock=morning, chance=Dice())
    made = add_key(workshop, "shop-a", Role.INTAKE)
    workshop.close()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        rows = connection.execute("select * from api_keys").fetchall()
        earlier = sqlite_utils.Database(":memory:", execute_plugins=False)
        steps.apply(earlier, stop_before="0013 watching")
        (table,) = earlier.execute(
            "select sql from sqlite_master where name = 'api_keys'"
        ).fetchone()
        connection.execute("drop table api_keys")
        connection.execute(table)
        connection.executemany("insert into api_keys values (?, ?, ?, ?, ?, ?, ?)", rows)
        connection.execute("delete from _sqlite_migrations where name = '0013 watching'")
    return made.text


def test_keys_from_before_the_role_are_kept_and_guarded(tmp_path: Path):
    path = tmp_path / "workshop.db"
    text = earlier_file(path)
    with (
        closing(sqlite3.connect(path)) as connection,
        pytest.raises(sqlite3.IntegrityError, match="role in"),
    ):
        connection.execute("insert into api_keys values ('p', 'n', 'watch', null, 'd', 'm', null)")
    workshop = open_workshop(path, clock=morning, chance=Dice(seed=b"later"))
    holder = key_holder(workshop, text)
    assert holder is not None
    assert (holder.name, holder.role, holder.source) == ("shop-a", Role.INTAKE, "shop-a")
    watching = add_key(workshop, "prometheus", Role.WATCH)
    assert [key.name for key in list_keys(workshop)] == ["shop-a", "prometheus"]
    assert key_holder(workshop, watching.text) is not None
    with workshop.database.reading() as section:
        assert whole.changed_schema(section) == ()
    with (
        pytest.raises(sqlite3.IntegrityError, match="never deleted"),
        workshop.database.writing() as section,
    ):
        section.run("delete from api_keys")
    workshop.close()
