"""Indexes for files with many years in them: what is looked for is found without reading it all.

Where a list is long (a person's wheels, a gauge's, an edition's), its index holds the serials as well, so
that the newest hundred are read from the end of it.
"""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step

_WIDER = (
    ("bench_passes_by_gauge", "bench_passes (gauge, serial)"),
    ("bench_passes_by_person", "bench_passes (read_by, serial)"),
    ("bench_steps_by_person", "bench_steps (done_by, serial)"),
    ("bench_signatures_by_person", "bench_signatures (signed_by, serial)"),
    ("wheel_batches_by_name", "wheel_batches (kind, name, serial)"),
)
"""Indexes that were there without the serial."""

_NEW = (
    ("sheets_by_edition", "sheets (edition, serial) where void_at is null"),
    # The wheels in the house are few, however many have left it.
    ("wheels_open", "wheels (serial) where state not in ('shipped', 'stock', 'cancelled')"),
    ("orders_open", "orders (id) where state not in ('shipped', 'closed', 'cancelled')"),
    ("orders_by_source", "orders (source, id)"),
    ("stock_movements_expected", "stock_movements (item) where kind = 'expected'"),
    # Without what is set aside: every order does that with some twenty articles, and would write as many
    # pages more.
    ("stock_movements_by_item", "stock_movements (item, sequence) where kind <> 'held'"),
)


def _lookups(database: sqlite_utils.Database) -> None:
    for name, _ in _WIDER:
        database.execute(f"drop index {name}")
    for name, on in (*_WIDER, *_NEW):
        database.execute(f"create index {name} on {on}")


STEPS: tuple[Step, ...] = (("0014 lookups", _lookups),)
