"""Ten years of a busy small workshop in one file: what people and machines ask of it, in milliseconds.

The file has 20,000 wheels a year, each read three times: demo orders that the program itself took, built
and shipped, and their rows again under other numbers, days and batches. Asked is the whole application,
each question of twenty things from all the years. The bar: the day's board, find by batch and the record
page in under 100 ms. ``cpu`` is the processor's part of the median: beside other work on the machine,
it is the fairer figure. Beside it: orders a second against the same file without the years.

TEN_YEARS_FILE=PATH keeps the file there, and takes one that is there already; TEN_YEARS=N makes fewer
years; TEN_YEARS_AUDIT=1 runs the whole audit as well (some minutes).
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

from flask import Flask

from buildsheet.actions.audit.run import audit
from buildsheet.actions.backup import backup
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.web.app import create_app
from tests.bench.intake import new_orders
from tests.bench.years.copied import Copy, copy_years, made_of
from tests.bench.years.lived import lived
from tests.bench.years.ways import measured, say, ways

YEARS = int(os.environ.get("TEN_YEARS", "10"))
NEEDED_BYTES = 2.5e9 * YEARS
ORDERS = 60


def main() -> None:
    with TemporaryDirectory() as scratch, _file(Path(scratch)) as (file, copies):
        last = copies[-1].day
        noon = datetime(last.year, last.month, last.day, 12, tzinfo=UTC)
        began = time.perf_counter()
        workshop = open_workshop(file, clock=lambda: noon)
        print(f"opened in {(time.perf_counter() - began) * 1e3:.1f} ms")
        app = create_app(workshop)
        _ask(workshop, app, copies)
        few = Path(scratch, "few.db")
        lived(few)
        young = open_workshop(few, clock=lambda: noon)
        _intake({"ten years": app, "without them": create_app(young)})
        young.close()
        _keep(workshop, Path(scratch))
        workshop.close()


@contextmanager
def _file(scratch: Path) -> Iterator[tuple[Path, list[Copy]]]:
    """The workshop file and what is in it; made where it is not there yet."""
    kept = os.environ.get("TEN_YEARS_FILE")
    file = Path(kept) if kept else scratch / "years.db"
    if file.is_file():
        yield file, made_of(lived(scratch / "again.db"), YEARS)
        return
    free = shutil.disk_usage(file.parent).free
    if free < NEEDED_BYTES:
        sys.exit(f"{NEEDED_BYTES / 1e9:.0f} GB are needed, {free / 1e9:.0f} GB are free")
    began, cpu = time.perf_counter(), time.process_time()
    copies = copy_years(file, lived(file), YEARS, lambda line: print(f"  {line}", flush=True))
    wheels = sum(len(each.serials) for each in copies)
    print(
        f"{wheels:,} wheels in {len(copies):,} orders, {file.stat().st_size / 1e9:.1f} GB, made in "
        f"{time.perf_counter() - began:.0f} s ({time.process_time() - cpu:.0f} s of processor)"
    )
    yield file, copies


def _ask(workshop: Workshop, app: Flask, copies: list[Copy]) -> None:
    with workshop.database.reading() as section:
        codes: dict[str, str] = dict(
            section.rows("select serial, code from sheets where void_at is null")
        )
        last = int(section.one("select max(sequence) from events")[0])
    client = app.test_client()
    print(f"{'':28}{'median':>9}{'worst':>9}{'cpu':>9}  ms")
    for way in ways(copies, codes, last):
        measured(client, way.once())  # what a process reads once is not the way's
        say(way, measured(client, way))


def _intake(apps: dict[str, Flask]) -> None:
    """Orders that nobody sent before, one here and one there: what the process has judged once it does not
    judge again, so no two are alike but for their numbers."""
    clients = {name: app.test_client() for name, app in apps.items()}
    bodies = new_orders(f"{time.time_ns():x}", 9900, 0.001)
    taken_ms: dict[str, list[tuple[float, float]]] = {name: [] for name in apps}
    for round_ in range(ORDERS + 5):
        for name, client in clients.items():
            body = next(bodies)
            began, cpu = time.perf_counter(), time.thread_time()
            answer = client.post("/api/v1/orders", data=body, content_type="application/json")
            spent = (time.perf_counter() - began) * 1e3, (time.thread_time() - cpu) * 1e3
            if answer.status_code != 201:
                raise RuntimeError(f"{name}: {answer.status} {answer.text[:300]}")
            if round_ >= 5:
                taken_ms[name].append(spent)
    for name, spent_ms in taken_ms.items():
        wall_ms, cpu_ms = (statistics.median(each[place] for each in spent_ms) for place in (0, 1))
        print(f"an order, {name:18}{wall_ms:9.1f}{max(e[0] for e in spent_ms):9.1f}{cpu_ms:9.1f}")
    old, young = (statistics.median(e[1] for e in taken_ms[name]) for name in apps)
    print(f"processor time of an order with the years over one without: {old / young:.2f}")


def _keep(workshop: Workshop, scratch: Path) -> None:
    began, cpu = time.perf_counter(), time.process_time()
    copy = backup(workshop.path, scratch / "copy.db")
    print(
        f"backup of {copy.bytes / 1e9:.1f} GB, looked through: {time.perf_counter() - began:.0f} s "
        f"({time.process_time() - cpu:.0f} s of processor)"
    )
    copy.path.unlink()
    if not os.environ.get("TEN_YEARS_AUDIT"):
        return
    began, cpu = time.perf_counter(), time.process_time()
    notes = audit(workshop)
    print(
        f"audit of {notes.looked['passes']:,} passes, {len(notes.faults)} faults: "
        f"{time.perf_counter() - began:.0f} s ({time.process_time() - cpu:.0f} s of processor)"
    )
    for fault in islice(notes.faults, 5):
        print(f"  {fault.check}: {fault.at} {fault.says}")


if __name__ == "__main__":
    main()
