"""Ten years out of a few orders: their rows again, under other numbers, codes, days and batches.

The copying is done by the engine, a statement a table: a row is read, what is one order's own in it is
replaced, and it is written. Afterwards the sums of the shelves are added up anew, as an audit would.
"""

from __future__ import annotations

import sqlite3 as words_only
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import date, timedelta
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any, Final

from sqlite_utils.utils import sqlite3

from buildsheet.actions.intake.earlier import body_digest
from buildsheet.actions.serials import CODE_LETTERS, ORDER, WHEEL, serial
from buildsheet.orders.reading import read
from tests.bench.years.lived import Lived, Stage
from tests.workshops import MORNING

Connection = words_only.Connection
Say = Callable[[str], None]

_OF_WHEEL: Final = "(select wheels.order_id from wheels where wheels.serial = r.serial)"
OF_ORDER: Final = {
    "orders": "r.id",
    "order_revisions": "r.order_id",
    "replies": "r.order_id",
    "order_moves": "r.order_id",
    "wheels": "r.order_id",
    "sheets": _OF_WHEEL,
    "stock_holds": "r.order_id",
    "stock_movements": "(select h.order_id from stock_holds as h where h.hold = r.hold)",
    "events": "r.order_id",
    "bench_steps": _OF_WHEEL,
    "bench_passes": _OF_WHEEL,
    "bench_signatures": _OF_WHEEL,
    "wheel_batches": _OF_WHEEL,
}
"""Table -> the order that a row ``r`` of it belongs to, parents before children."""

COUNTED: Final = {
    "order_moves": "sequence",
    "stock_movements": "sequence",
    "stock_holds": "hold",
    "events": "sequence",
    "bench_steps": "sequence",
    "wheel_batches": "sequence",
}
"""Table -> the column that counts on from copy to copy."""

TOKENS: Final = ("order_id", "number", "serial1", "serial2", "code1", "code2", "batch", "day")
"""What is one order's own wherever it stands in a text."""

WHEELS_A_YEAR: Final = 20_000
SHELF: Final = 1_000_000
OPEN_ORDERS: Final = 300
"""So many of the newest orders are still in the house: half at the stand, half only taken."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy: which order it is made of, and what is its own."""

    of: Lived
    order_id: str
    number: str
    serials: tuple[str, ...]
    batch: str
    day: date


def copy_years(file: Path, lived: tuple[Lived, ...], years: int, say: Say) -> list[Copy]:
    """Fill a file that holds these orders with so many years of them; what was made, oldest first."""
    copies = made_of(lived, years)
    with closing(sqlite3.connect(str(file), isolation_level=None)) as connection:
        _fill(connection, lived, copies, say)
    return copies


def made_of(lived: tuple[Lived, ...], years: int) -> list[Copy]:
    """What so many years of copies are, oldest first: the same for the same orders."""
    return [*_copies(lived, years)]


def _copies(lived: tuple[Lived, ...], years: int) -> Iterator[Copy]:
    """Whole orders, year by year, until each year has its wheels; the last ones are still open."""
    chosen, numbers = Random(0), {MORNING.year: (len(lived), sum(len(o.serials) for o in lived))}
    by_stage: dict[Stage, list[Lived]] = {"shipped": [], "read": [], "taken": []}
    for each in lived:
        by_stage[each.stage].append(each)
    for year in range(MORNING.year, MORNING.year + years):
        orders, wheels = numbers.get(year, (0, 0))
        while wheels < WHEELS_A_YEAR:
            left = WHEELS_A_YEAR - wheels
            stage = _stage(left, last=year == MORNING.year + years - 1)
            of = chosen.choice([o for o in by_stage[stage] if len(o.serials) <= left])
            orders, first = orders + 1, wheels + 1
            wheels += len(of.serials)
            yield Copy(
                of,
                serial(ORDER, year, orders),
                f"S-{year}-{orders}",
                tuple(serial(WHEEL, year, each) for each in range(first, wheels + 1)),
                f"L{year % 100}-{orders // 150}",
                _day(year, wheels),
            )


def _stage(wheels_left: int, *, last: bool) -> Stage:
    if not last or wheels_left > OPEN_ORDERS * 2:
        return "shipped"
    return "read" if wheels_left > OPEN_ORDERS else "taken"


def _day(year: int, wheel: int) -> date:
    """The day on which a year's so-manieth wheel is taken; the first year begins on the demo's day."""
    begins = MORNING.date() if year == MORNING.year else date(year, 1, 1)
    days = (date(year, 12, 30) - begins).days
    return begins + timedelta(days=days * wheel // WHEELS_A_YEAR)


def _fill(connection: Connection, lived: tuple[Lived, ...], copies: list[Copy], say: Say) -> None:
    for setting in ("journal_mode = off", "synchronous = off", "cache_size = -1000000"):
        connection.execute(f"pragma {setting}")
    connection.execute("pragma temp_store = memory")
    indexes = connection.execute(
        "select name, sql from sqlite_master where type = 'index' and sql is not null"
    ).fetchall()
    connection.execute("begin")
    for name, _ in indexes:
        connection.execute(f"drop index {name}")
    connection.create_function(
        "sha256_of", 1, lambda text: f"sha256:{sha256(text.encode()).hexdigest()}"
    )
    _tell_orders(connection, lived)
    rows = {table: _templates(connection, table) for table in OF_ORDER}
    _tell_copies(connection, copies, rows)
    for table in OF_ORDER:
        began = time.monotonic()
        count = _copy_table(connection, table)
        say(f"{table:18}{count:>10,} rows {time.monotonic() - began:6.1f} s")
    _add_up(connection, copies)
    began = time.monotonic()
    for _, sql in indexes:
        connection.execute(sql)
    connection.execute("commit")
    connection.execute("pragma journal_mode = wal")
    say(f"{len(indexes)} indexes {time.monotonic() - began:26.1f} s")


def _tell_orders(connection: Connection, lived: tuple[Lived, ...]) -> None:
    """A table of the orders that are copied, with what is each one's own."""
    connection.execute(
        "create temp table made (place integer primary key, said text, event_text text, "
        + ", ".join(f"{each} text" for each in TOKENS)
        + ")"
    )
    for place, each in enumerate(lived):
        document, day = connection.execute(
            "select document, taken_at from order_revisions where order_id = ?", [each.order_id]
        ).fetchone()
        order = read(document.encode()).order
        event = connection.execute(
            "select min(sequence) from events where order_id = ?", [each.order_id]
        ).fetchone()[0]
        codes = [
            connection.execute("select code from sheets where serial = ?", [wheel]).fetchone()[0]
            for wheel in each.serials
        ]
        if order is None or body_digest(order) != _sha256(_said(order)):
            raise RuntimeError(f"{each.order_id}: its digest is not that of its text")
        connection.execute(
            f"insert into made values ({', '.join('?' * (len(TOKENS) + 3))})",
            [
                place,
                _said(order),
                f'"event":{event},',
                each.order_id,
                each.number,
                *_two(each.serials),
                *_two(codes),
                each.batch,
                day[:10],
            ],
        )


def _said(order: Any) -> str:
    return str(order.model_dump_json(by_alias=True, exclude_none=True))


def _sha256(text: str) -> str:
    return f"sha256:{sha256(text.encode()).hexdigest()}"


def _two(of: Any) -> tuple[str, str]:
    """One or two of something as two; the second stands nowhere in a text where there is one only."""
    return (of[0], of[1] if len(of) == 2 else "\x00")


def _templates(connection: Connection, table: str) -> dict[int, int]:
    """A copy of the orders' rows of one table; place of the order -> how many."""
    counted = COUNTED.get(table, "rowid")
    connection.execute(
        f"""
        create temp table made_{table} as
        select made.place as made, row_number() over (
                   partition by made.place order by r.{counted}) - 1 as at_place, r.*
        from {table} as r join made on made.order_id = {OF_ORDER[table]}
        order by 1, 2
        """
    )
    connection.execute(f"create index temp.made_{table}_by_order on made_{table} (made)")
    if table == "stock_movements":
        # Numbers of holds count on from copy to copy as well: by how far from the order's first.
        connection.execute(
            """
            update made_stock_movements set hold = hold -
                (select min(hold) from made_stock_holds where made = made_stock_movements.made)
            """
        )
    return dict(connection.execute(f"select made, count(*) from made_{table} group by made"))


def _tell_copies(
    connection: Connection, copies: list[Copy], rows: dict[str, dict[int, int]]
) -> None:
    """A table of the copies: what is each one's own, and where its numbers begin in every counted table."""
    begins = {
        table: connection.execute(f"select max({column}) + 1 from {table}").fetchone()[0]
        for table, column in COUNTED.items()
    }
    connection.execute(
        "create temp table copies (k integer primary key, made integer, "
        + ", ".join(f"{each} text" for each in TOKENS)
        + "".join(f", {table}_from integer" for table in COUNTED)
        + ")"
    )
    places = {
        order_id: place
        for place, order_id in connection.execute("select place, order_id from made")
    }
    chance = Random(1)
    marks = ", ".join("?" * (2 + len(TOKENS) + len(COUNTED)))

    def lines() -> Iterator[list[object]]:
        for k, each in enumerate(copies):
            made = places[each.of.order_id]
            codes = ["".join(chance.choices(CODE_LETTERS, k=20)) for _ in each.serials]
            yield [
                k,
                made,
                each.order_id,
                each.number,
                *_two(each.serials),
                *_two(codes),
                each.batch,
                each.day.isoformat(),
                *begins.values(),
            ]
            for table in COUNTED:
                begins[table] += rows[table].get(made, 0)

    connection.executemany(f"insert into copies values ({marks})", lines())


def _copy_table(connection: Connection, table: str) -> int:
    """Write the rows of every copy into one table; how many."""
    columns = [str(row[1]) for row in connection.execute(f"pragma table_info({table})")]
    values = ", ".join(_value(connection, table, column) for column in columns)
    return connection.execute(
        f"""
        insert into {table} ({", ".join(columns)})
        select {values} from copies cross join made on made.place = copies.made
        cross join made_{table} as t on t.made = copies.made order by copies.k, t.at_place
        """
    ).rowcount


def _value(connection: Connection, table: str, column: str) -> str:
    """What stands in a column of a copy."""
    if COUNTED.get(table) == column:
        return f"copies.{table}_from + t.at_place"
    if (table, column) == ("stock_movements", "hold"):
        return "copies.stock_holds_from + t.hold"
    if column == "body_digest" and table in ("order_revisions", "replies"):
        return "sha256_of(replace(made.said, made.number, copies.number))"
    value = f"t.{column}"
    for token in TOKENS:
        held = f"select 1 from made_{table} as t join made on made.place = t.made where "
        if connection.execute(
            f"{held} instr(t.{column}, made.{token}) > 0 and typeof(t.{column}) = 'text' limit 1"
        ).fetchone():
            value = f"replace({value}, made.{token}, copies.{token})"
    if (table, column) == ("order_revisions", "answer"):
        event = "'\"event\":' || copies.events_from || ','"
        value = f"replace({value}, made.event_text, {event})"
    return value


def _add_up(connection: Connection, copies: list[Copy]) -> None:
    """Running numbers as far as they were given out; shelves filled up again; sums from the movements."""
    years = sorted({each.day.year for each in copies})
    for kind, table, column in ((WHEEL, "wheels", "serial"), (ORDER, "orders", "id")):
        for year in years:
            connection.execute(
                f"""
                insert into allotments (kind, year, last)
                select ?, ?, count(*) from {table} where {column} like ?
                on conflict (kind, year) do update set last = excluded.last
                """,
                [kind, year, f"{kind}{year % 100}-%"],
            )
    at = f"{copies[-1].day}T06:00:00.000Z"
    connection.execute(
        """
        insert into stock_movements
            (sequence, at, kind, item, shelf_change, held_change, expected_change, by, reason)
        select (select max(sequence) from stock_movements) + row_number() over (order by item), ?,
               'received', item, ? - sum(shelf_change), 0, 0, 'bench', 'ten years of deliveries'
        from stock_movements group by item
        """,
        [at, SHELF],
    )
    connection.execute(
        """
        update stock_levels set shelf = added.shelf, held = added.held, expected = added.expected
        from (select item, sum(shelf_change) as shelf, sum(held_change) as held,
                     sum(expected_change) as expected from stock_movements group by item) as added
        where added.item = stock_levels.item
        """
    )
