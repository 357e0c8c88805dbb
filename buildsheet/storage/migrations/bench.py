"""The tables of the bench: gauges, steps at the stations, passes of readings, who signed what."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _bench(database: sqlite_utils.Database) -> None:
    database.execute(
        """
        create table gauge_tables (
            gauge text not null,
            spoke text not null,
            version text not null,
            made_on text not null,
            due_on text not null,
            error_share real not null,
            marks text not null,
            added_by text not null,
            added_at text not null,
            sequence integer not null unique,
            primary key (gauge, spoke, version)
        ) strict
        """
    )
    database.execute(
        """
        create table gauge_checks (
            sequence integer not null primary key,
            gauge text not null,
            day text not null,
            good integer not null,
            note text not null,
            checked_by text not null,
            checked_at text not null
        ) strict
        """
    )
    database.execute("create index gauge_checks_by_day on gauge_checks (gauge, day)")
    database.execute(
        """
        create table bench_steps (
            sequence integer not null primary key,
            serial text not null references wheels (serial),
            issue text not null,
            station text not null,
            step_key text not null,
            good integer not null,
            done_by text not null,
            done_at text not null,
            document text not null,
            answer text not null,
            unique (serial, step_key)
        ) strict
        """
    )
    database.execute(
        """
        create table bench_passes (
            serial text not null references wheels (serial),
            number integer not null,
            issue text not null,
            pass_key text not null,
            gauge text not null,
            word text not null,
            may_remark integer not null,
            read_by text not null,
            read_at text not null,
            document text not null,
            answer text not null,
            primary key (serial, number),
            unique (serial, pass_key)
        ) strict
        """
    )
    database.execute("create index bench_passes_by_gauge on bench_passes (gauge)")
    database.execute("create index bench_passes_by_person on bench_passes (read_by)")
    database.execute("create index bench_passes_by_time on bench_passes (read_at)")
    database.execute(
        """
        create table bench_signatures (
            serial text not null,
            number integer not null,
            sign_key text not null,
            word text not null,
            reason text not null,
            signed_by text not null,
            signed_at text not null,
            primary key (serial, number),
            unique (serial, sign_key),
            foreign key (serial, number) references bench_passes (serial, number)
        ) strict
        """
    )
    database.execute("create index bench_steps_by_person on bench_steps (done_by)")
    database.execute("create index bench_signatures_by_person on bench_signatures (signed_by)")
    # What went into a wheel, by batch and serial: a recall is one look-up.
    database.execute(
        """
        create table wheel_batches (
            sequence integer not null primary key,
            serial text not null references wheels (serial),
            kind text not null,
            name text not null,
            recorded_at text not null
        ) strict
        """
    )
    database.execute("create index wheel_batches_by_name on wheel_batches (kind, name)")
    database.execute("create index wheel_batches_by_wheel on wheel_batches (serial)")
    for table in (
        "gauge_tables",
        "gauge_checks",
        "bench_steps",
        "bench_passes",
        "bench_signatures",
        "wheel_batches",
    ):
        append_only(database, table)


STEPS: tuple[Step, ...] = (("0006 bench", _bench),)
