"""A write section: all of it or none of it, one writer at a time, one clean line when the disk says no."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.errors import WorldError
from buildsheet.storage import allotments, events
from buildsheet.storage.database import Database


@pytest.fixture
def database(tmp_path: Path):
    opened = Database(tmp_path / "workshop.db")
    yield opened
    opened.close()


def test_the_file_is_durable_and_strict(database: Database):
    with database.reading() as section:
        said = {
            name: section.row(f"pragma {name}")[0]
            for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema")
        }
        loose = section.rows(
            "select name from pragma_table_list where type = 'table' and strict = 0 "
            "and name not like 'sqlite%' and name not like '_sqlite%'"
        )
    # synchronous: 2 is FULL.
    assert said == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "trusted_schema": 0}
    assert loose == []


def test_an_exception_inside_a_section_takes_everything_back(database: Database):
    with pytest.raises(ZeroDivisionError), database.writing() as section:  # noqa: PT012
        events.append(section, at="2031-05-01T08:00:00Z", kind="order.taken")
        allotments.next_numbers(section, "wheel", 2031, 1)
        raise ZeroDivisionError
    with database.writing() as section:
        assert events.after(section, 0) == ()
        assert allotments.next_numbers(section, "wheel", 2031, 1) == range(1, 2)


def test_numbers_are_counted_by_kind_and_year(database: Database):
    with database.writing() as section:
        counted = [
            allotments.next_numbers(section, kind, year, 1)
            for kind, year in (("wheel", 2031), ("wheel", 2031), ("order", 2031), ("wheel", 2032))
        ]
    assert [list(each) for each in counted] == [[1], [2], [1], [1]]


def test_what_happened_cannot_be_edited_or_deleted(database: Database):
    with database.writing() as section:
        events.append(section, at="2031-05-01T08:00:00Z", kind="order.taken")
    for deed in ("update events set kind = 'x'", "delete from events"):
        with (
            pytest.raises(sqlite3.IntegrityError, match="only appended"),
            database.writing() as section,
        ):
            section.run(deed)


def test_a_reader_sees_one_state_while_another_thread_writes(database: Database):
    with database.reading() as section:
        before = section.row("select count(*) from events")

        def write() -> None:
            with database.writing() as other:
                events.append(other, at="2031-05-01T08:00:00Z", kind="order.taken")

        writer = threading.Thread(target=write)
        writer.start()
        writer.join()
        assert section.row("select count(*) from events") == before
    with database.reading() as section:
        assert section.row("select count(*) from events") == (1,)


COUNT_UP = """
import sys
from pathlib import Path
from buildsheet.storage import allotments, events
from buildsheet.storage.database import Database

database = Database(Path(sys.argv[1]))
for _ in range(int(sys.argv[2])):
    with database.writing() as section:
        (number,) = allotments.next_numbers(section, "wheel", 2031, 1)
        events.append(section, at="2031-05-01T08:00:00Z", kind="counted", facts=str(number))
database.close()
"""


def test_processes_that_start_at_once_make_one_schema_and_count_without_gaps(tmp_path: Path):
    path, rounds = tmp_path / "new" / "workshop.db", 25
    started = [
        subprocess.Popen([sys.executable, "-c", COUNT_UP, str(path), str(rounds)]) for _ in range(3)
    ]
    assert [process.wait(timeout=60) for process in started] == [0, 0, 0]
    database = Database(path)
    with database.reading() as section:
        seen = events.after(section, 0)
    database.close()
    assert [int(event.facts) for event in seen] == list(range(1, 3 * rounds + 1))
    assert [event.sequence for event in seen] == list(range(1, 3 * rounds + 1))


def test_threads_share_one_database_object(database: Database):
    def write() -> None:
        for _ in range(20):
            with database.writing() as section:
                events.append(section, at="2031-05-01T08:00:00Z", kind="counted")

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with database.reading() as section:
        assert section.row("select count(*), max(sequence) from events") == (80, 80)


def test_a_file_that_is_no_database_is_one_clean_line(tmp_path: Path):
    path = tmp_path / "workshop.db"
    path.write_text("this is a shopping list, long enough to be read as a database header " * 20)
    with pytest.raises(WorldError) as trouble:
        Database(path)
    assert str(trouble.value) == f"{path}: file is not a database"


def test_a_directory_in_place_of_the_file_is_one_clean_line(tmp_path: Path):
    with pytest.raises(WorldError, match="unable to open"):
        Database(tmp_path)


def test_a_missing_file_is_not_made_where_it_must_exist(tmp_path: Path):
    with pytest.raises(WorldError, match="no workshop file"):
        Database(tmp_path / "absent.db", create=False)
    assert list(tmp_path.iterdir()) == []


def test_a_file_of_a_newer_program_is_left_alone(database: Database):
    with database.writing() as section:
        section.run(
            "insert into _sqlite_migrations (migration_set, name, applied_at) values (?, ?, ?)",
            "buildsheet",
            "9999 from the future",
            "2041-01-01",
        )
    with pytest.raises(WorldError, match=r"newer version of this program .9999 from the future"):
        Database(database.path)


def test_a_full_disk_takes_the_section_back_and_says_so(database: Database):
    with database.reading() as section:
        pages = section.row("pragma page_count")[0]
    with pytest.raises(WorldError, match="full"), database.writing() as section:  # noqa: PT012
        section.run(f"pragma max_page_count = {pages}")
        for _ in range(2000):
            events.append(section, at="2031-05-01T08:00:00Z", kind="x" * 500)
    with database.reading() as section:
        assert section.row("select count(*) from events") == (0,)
