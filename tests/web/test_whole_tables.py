"""However many years are in the file: nothing that is asked all day walks through a table that grows.

Asked is the engine itself: how it would carry out each statement that an address leads to. It has no
statistics of tables, so what it says of a small file holds for a big one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.desk.impact import open_orders
from buildsheet.actions.moves.move import Move
from buildsheet.actions.show_order import list_orders
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage.database import Row, Section, SqlValue
from buildsheet.web.app import create_app
from tests.actions.bench.conftest import stand
from tests.actions.bench.day import pass_of, view_of
from tests.actions.bench.test_record import built
from tests.actions.moves.asking import ask, cancel, take
from tests.workshops import example, raw

__all__ = ["stand"]

Plans = dict[str, list[str]]

SMALL: Final = (
    "editions edition_files edition_papers draft_edits draft_files gauge_tables stock_levels people "
    "api_keys sessions webhooks webhook_progress allotments heartbeat _sqlite_migrations"
).split()
"""Tables that stay small, or that are walked because all of it is shown."""

PARTS_OF_STATEMENTS: Final = (
    "passes",
    "numbered",
    "others",
    "moved",
    "bench_passes_of",
    "bench_steps_of",
    "bench_signatures_of",
)
"""Names of queries inside queries: how those are carried out is said beside."""

SHORT: Final = (
    "wheels_open",
    "orders_open",
    "stock_holds_due",
    "stock_holds_in_force",
    "stock_movements_expected",
)
"""Indexes of what is still open: walked from end to end, they are as long as the day's work."""

IN_ORDER: Final = ("bench_passes_by_time",)
"""Indexes walked from their end, as far as the statement's limit."""

MOVES: Final[tuple[Move, ...]] = ("hold", "approve", "release")

RANGE_ALONE: Final = re.compile(r"^SEARCH .*\(\w+[<>]\?( AND \w+[<>]\?)?\)")
SORTED: Final = "USE TEMP B-TREE FOR ORDER BY"


@pytest.fixture
def plans(monkeypatch: pytest.MonkeyPatch) -> Plans:
    """Statement -> what the engine says that it does, of every statement that is run from now on."""
    found: Plans = {}
    rows, row, run = Section.rows, Section.row, Section.run

    def note(section: Section, sql: str, values: tuple[SqlValue, ...]) -> None:
        if sql not in found and not sql.startswith("pragma"):
            found[sql] = [
                str(each[3]) for each in rows(section, f"explain query plan {sql}", *values)
            ]

    def noted_rows(section: Section, sql: str, *values: SqlValue) -> list[Row]:
        note(section, sql, values)
        return rows(section, sql, *values)

    def noted_row(section: Section, sql: str, *values: SqlValue) -> Row | None:
        note(section, sql, values)
        return row(section, sql, *values)

    def noted_run(section: Section, sql: str, *values: SqlValue) -> int:
        note(section, sql, values)
        return run(section, sql, *values)

    monkeypatch.setattr(Section, "rows", noted_rows)
    monkeypatch.setattr(Section, "row", noted_row)
    monkeypatch.setattr(Section, "run", noted_run)
    return found


@pytest.fixture
def client(stand: Workshop) -> FlaskClient:
    load_stock(stand, (demo_directory() / "stock.csv").read_text(encoding="utf-8"), by="A. Maker")
    return create_app(stand).test_client()


def faults(plans: Plans) -> Iterator[str]:
    """What walks through a table that grows, or sorts whatever comes after some row of it."""
    for sql, steps in plans.items():
        said = " ".join(sql.split())
        for step in steps:
            if step.startswith("SCAN ") and not _short(step, said):
                yield f"{step}: {said}"
            if RANGE_ALONE.match(step) and SORTED in steps:
                yield f"{step}, then sorted: {said}"


def _short(step: str, sql: str) -> bool:
    words = step.split()
    name, index = words[1], words[-1] if "INDEX" in words else ""
    part = name.startswith("(subquery-") or name in (*PARTS_OF_STATEMENTS, "CONSTANT")
    if part or name in SMALL or index in SHORT:
        return True
    return index in IN_ORDER and " limit ?" in sql


WAYS: Final = (
    "/",
    "/?all=yes",
    "/?all=yes&before={serial}",
    "/?before={serial}",
    "/orders",
    "/orders?before={order}",
    "/orders/{order}",
    "/find?q={serial}",
    "/find?q=D-1001",
    "/find?q=L7",
    "/find?by=serial&q={serial}",
    "/find?by=order&q=D-1001",
    "/find?by=rim-batch&q=L7",
    "/find?by=rim-serial&q=33D-0412",
    "/find?by=hub-serial&q=KF2-118",
    "/find?by=part-batch&q=SJB9/277 B41",
    "/find?by=gauge&q=G1",
    "/find?by=builder&q=M. K.",
    "/find?by=edition&q=16&before=W99-00001-A",
    "/wheels/{serial}/record",
    "/w/{code}",
    "/w/{code}/state",
    "/stock",
    "/stock?part=OR33D/24",
    "/bench/pictures",
    "/api/v1/orders",
    "/api/v1/orders?before={order}",
    "/api/v1/orders/{order}",
    "/api/v1/events?after=3",
    "/api/v1/wheels?by=rim-batch&what=L7",
    "/api/v1/wheels?by=gauge&what=G1&limit=5",
    "/api/v1/wheels/{serial}",
    "/api/v1/wheels/{serial}/plan",
    "/api/v1/wheels/{serial}/record",
    "/api/v1/wheels/{serial}/record.pdf",
    "/api/v1/wheels/{serial}/sheet.pdf",
    "/api/v1/wheels/{serial}/bench",
    "/api/v1/stock",
    "/api/v1/gauges",
    "/orders/{order}/hold",
    "/orders/{order}/change",
    "/orders/{order}/cancel",
    "/api/v1/wheels/{serial}/truing",
    "/healthz",
    "/metrics",
    "/metrics",
    "/api/v1/catalog/editions",
)


def test_no_address_of_a_day_walks_through_a_table_that_grows(
    client: FlaskClient, stand: Workshop, plans: Plans
):
    serial = built(stand)
    view = view_of(stand, serial)
    names = {"serial": serial, "order": view.wheel.order.id, "code": view.scanned.code}
    for way in WAYS:
        assert client.get(way.format(**names)).status_code < 400, way
    assert len(plans) > 50
    assert [*faults(plans)] == []


def test_no_deed_of_a_day_walks_through_a_table_that_grows(
    client: FlaskClient, stand: Workshop, plans: Plans
):
    serial = built(stand)
    body = raw(example("D-1004", **{"/number": "D-1004-again"}))
    assert take_order(stand, body, "key-1").outcome == "taken"
    assert take_order(stand, body, "key-1").outcome == "replayed"
    assert list_orders(stand, source="shop-a") != ()
    assert client.post(f"/api/v1/wheels/{serial}/passes", data=pass_of(stand, serial, "k-2")).text
    assert open_orders(stand) != ()
    order = take(stand, example("D-1010"))["id"]
    for move in MOVES:
        assert ask(stand, order, move).outcome == "done", move
    assert cancel(stand, order).outcome == "done"
    movement = {"kind": "received", "part": "OR33D/24", "pieces": 3}
    posted = {"key": "k-stock-1", "by": "A. Maker", "movements": [movement]}
    assert client.post("/api/v1/stock/movements", json=posted).status_code == 201
    assert [*faults(plans)] == []


@pytest.mark.parametrize(
    "sql",
    [
        "select * from events where facts = ? order by sequence",
        "select serial from bench_passes where word = ?",
        "select serial from bench_passes where read_at > ? order by serial limit 100",
    ],
)
def test_a_statement_that_would_is_found_out(stand: Workshop, plans: Plans, sql: str):
    with stand.database.reading() as section:
        section.rows(sql, "x")
    assert len([*faults(plans)]) == 1
