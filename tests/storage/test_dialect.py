"""Every statement stays in what the embedded engine and PostgreSQL both take.

The rules below are what differs, as far as statements of this kind can show it; the contract beside was
run on a real PostgreSQL 15 once (see the notes for developers), and what it refused became a rule here.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest

import buildsheet.storage
from buildsheet.storage.database import Database
from tests.storage.statements import Statement, statements

EMBEDDED_ONLY: Final = {
    "whole.broken_pages": "a check of the file's pages",
    "whole.dangling": "the engine's own check of references",
    "whole._schema": "the tables as the file keeps them",
    "whole.sizes": "the names of the file's tables",
    "figures.schema": "the steps that the file's tables have had",
}
"""Functions that ask the embedded engine about its own file, and for what: another brings its own."""

FUNCTIONS: Final = frozenset(
    {"count", "sum", "min", "max", "coalesce", "lag", "row_number", "cast"}
)
"""Functions that both have, with one meaning for texts and whole numbers."""

BEFORE_BRACKETS: Final = frozenset(
    "in values exists from join and or not as on over select filter union all where then set".split()
)
"""Words that a bracket may follow without being a function's name."""

FORBIDDEN: Final = {
    r"\binsert or\b|\breplace into\b": "on conflict ... do is the common word",
    r"\browid\b": "no row has a number of its own elsewhere",
    r"\blike\b|\bglob\b": "engines differ in what it takes for equal: ask for a range",
    r'"|`|\[': "names are written bare",
    r"\bpragma\b|\bsqlite_\w+|_sqlite_\w+": "that is the embedded engine's own",
    r"\bautoincrement\b|\bindexed by\b|\bunlikely\b": "the embedded engine's own",
    r"\blimit\s+\S+\s*,": "limit ... offset is the common word",
    r"==|<=>|!=": "= and <> are the common signs",
    r"\?\s+is\b|\bis\s+(not\s+)?\?": "a mark alone has no kind elsewhere",
    r"\bis\s+(?!null|not null)": "is asks for null and nothing else",
    r"::|\bilike\b|\bfor update\b|\bnow\(\)": "and nothing of the other engine's own",
    r"\b(having|group by)\s+\d": "named, not numbered",
    r"\bvalues\b(?!\s*\()": "no values without their brackets",
}
"""What one of the two takes otherwise or not at all, and what is written instead."""

RESERVED: Final = frozenset(
    """
    all analyse analyze and any array as asc asymmetric authorization binary both case cast check collate
    collation column concurrently constraint create cross current_catalog current_date current_role
    current_schema current_time current_timestamp current_user default deferrable desc distinct do else end
    except false fetch for foreign freeze from full grant group having ilike in initially inner intersect
    into is isnull join lateral leading left like limit localtime localtimestamp natural not notnull null
    offset on only or order outer overlaps placing primary references returning right select session_user
    similar some symmetric table tablesample then to trailing true union unique user using variadic verbose
    when where window with
    """.split()
)
"""Words that name no table and no column in PostgreSQL 15, by its own `pg_get_keywords()` [read]."""


def bare(sql: str) -> str:
    """A statement without what stands between quotation marks."""
    return re.sub(r"'[^']*'", "''", sql.lower())


def faults(sql: str) -> list[str]:
    """What keeps a statement out of the common dialect."""
    text = bare(sql)
    said = [why for pattern, why in FORBIDDEN.items() if re.search(pattern, text)]
    called = set(re.findall(r"\b([a-z_]\w*)\s*\(", text)) - BEFORE_BRACKETS
    named = set(re.findall(r"\b(?:insert into|with)\s+(\w+)\s*(?:\(|as)", text)) | {"conflict"}
    said += [f"{each}() is no common function" for each in sorted(called - FUNCTIONS - named)]
    return said + _nameless(text)


def _nameless(text: str) -> list[str]:
    """Queries inside `from` and `join` without a name: PostgreSQL 15 refuses them."""
    said = []
    for begins in re.finditer(r"\b(?:from|join)\s*\(", text):
        depth, at = 1, begins.end()
        while depth:
            depth += {"(": 1, ")": -1}.get(text[at], 0)
            at += 1
        if not re.match(r"\s*as\s+\w+", text[at:]):
            said.append("a query inside a query has a name")
    return said


COMMON: Final = [each for each in statements() if each.place not in EMBEDDED_ONLY]


def test_every_statement_of_the_storage_is_looked_at():
    asked = re.compile(r"\b(?:section|here|copied)\.(?:rows|row|one|run|insert)\(")
    there = sum(
        len(asked.findall(path.read_text(encoding="utf-8")))
        for path in Path(buildsheet.storage.__path__[0]).glob("*.py")
    )
    assert len([*statements()]) == there > 150
    assert set(EMBEDDED_ONLY) <= {each.place for each in statements()}


@pytest.mark.parametrize("statement", COMMON, ids=lambda each: each.place)
def test_a_statement_stays_in_the_common_dialect(statement: Statement):
    assert faults(statement.sql) == []


@pytest.mark.parametrize("place", sorted(EMBEDDED_ONLY))
def test_what_is_let_through_by_name_needs_it(place: str):
    assert any(faults(each.sql) for each in statements() if each.place == place)


@pytest.mark.parametrize(
    "sql",
    [
        "insert or ignore into plans (digest) values (?)",
        "select ifnull(state, 'x') from orders",
        "select json_extract(document, '$.mass_g') from bench_passes",
        "select id from orders where ? is null or id < ?",
        "select id from orders where id like ?",
        'select "id" from orders',
        "select rowid from orders",
        "select id from orders order by id limit 5, 10",
        "select id from orders where state is 'open'",
        "select strftime('%s', at) from events",
        "select id from (select id from orders) where id > ?",
        "pragma page_count",
        "select group_concat(id) from orders",
        "select id from orders where state == ?",
        "select id::text from orders",
    ],
)
def test_what_one_engine_takes_alone_is_found_out(sql: str):
    assert faults(sql) != []


def test_no_table_and_no_column_has_a_name_that_is_taken_elsewhere(tmp_path: Path):
    database = Database(tmp_path / "workshop.db")
    with database.reading() as section:
        tables = [
            str(row[0])
            for row in section.rows("select name from sqlite_master where type = 'table'")
        ]
        columns = {
            str(row[1]) for table in tables for row in section.rows(f"pragma table_info('{table}')")
        }
    database.close()
    assert len(tables) > 30
    assert {*tables, *columns} & RESERVED == set()
