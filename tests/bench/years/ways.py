"""What people and machines ask of a workshop file, each with what it may take."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random

from werkzeug.test import Client

from tests.bench.years.copied import Copy
from tests.bench.years.lived import BUILDERS, GAUGES

BAR_MS = 100.0
ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Way:
    """One question: addresses that ask it of one thing after the other, and the bar, where it has one."""

    name: str
    addresses: tuple[str, ...]
    bar_ms: float | None = None

    def once(self) -> Way:
        """The same, asked of one thing."""
        return replace(self, addresses=self.addresses[:1])


def ways(copies: list[Copy], codes: dict[str, str], last_event: int) -> Iterator[Way]:
    """Every way, over things from all the years; ``codes`` is serial -> the code of its sheet in force."""
    chosen = Random(2).sample(copies, ROUNDS)
    serials = [each.serials[0] for each in chosen]
    rims = [f"R-{serial}" for serial in serials]
    still_open = [each.serials[0] for each in copies[-ROUNDS:]]
    pages = Random(3).sample(range(last_event), ROUNDS)

    def each_of(pattern: str, of: list[str]) -> tuple[str, ...]:
        return tuple(pattern.format(one) for one in of)

    yield Way("the day's board", ("/",) * ROUNDS, BAR_MS)
    yield Way("find by rim batch", each_of("/find?by=rim-batch&q={}", _batches(chosen)), BAR_MS)
    yield Way("record page", each_of("/wheels/{}/record", serials), BAR_MS)
    yield Way("every wheel, from far back", each_of("/?all=yes&before={}", serials))
    yield Way("orders", ("/orders",) * ROUNDS)
    yield Way("orders, from far back", each_of("/orders?before={}", [e.order_id for e in chosen]))
    yield Way("one order", each_of("/orders/{}", [each.order_id for each in chosen]))
    yield Way("find a serial", each_of("/find?by=serial&q={}", serials))
    yield Way("find an order", each_of("/find?by=order&q={}", [each.number for each in chosen]))
    yield Way("find a rim", each_of("/find?by=rim-serial&q={}", rims))
    yield Way("find by gauge", each_of("/find?by=gauge&q={}", [*GAUGES] * (ROUNDS // 2)))
    yield Way("find by person", each_of("/find?by=builder&q={}", [*BUILDERS] * (ROUNDS // 4)))
    yield Way("find by edition", ("/find?by=edition&q=16",) * ROUNDS)
    yield Way("find anything", each_of("/find?q={}", _batches(chosen)))
    yield Way("record as JSON", each_of("/api/v1/wheels/{}/record", serials))
    yield Way("record as PDF", each_of("/api/v1/wheels/{}/record.pdf", serials))
    yield Way("bench page", each_of("/w/{}", [codes[serial] for serial in still_open]))
    yield Way("bench page, years ago", each_of("/w/{}", [codes[serial] for serial in serials]))
    yield Way("API: orders", ("/api/v1/orders",) * ROUNDS)
    yield Way("API: events after", each_of("/api/v1/events?after={}", [str(p) for p in pages]))
    yield Way(
        "API: recall of a batch",
        each_of("/api/v1/wheels?by=rim-batch&what={}", _batches(chosen)),
    )
    yield Way("stock", ("/stock",) * ROUNDS)
    yield Way("one article", each_of("/stock?part={}", ["OR33D/24", "SJB9/277"] * (ROUNDS // 2)))
    yield Way("an article seldom moved", ("/stock?part=SSB9/300",) * ROUNDS)
    yield Way("how the bench does", ("/bench/pictures",) * ROUNDS)


def _batches(copies: list[Copy]) -> list[str]:
    return [each.batch for each in copies]


@dataclass(frozen=True, slots=True)
class Measured:
    """Milliseconds of a way: median and worst as waited for, the median of the processor's part."""

    median_ms: float
    worst_ms: float
    cpu_ms: float
    longest_bytes: int


def measured(client: Client, way: Way) -> Measured:
    """A way gone once for each of its addresses."""
    taken_ms, cpu_ms, most = [], [], 0
    for address in way.addresses:
        began, cpu = time.perf_counter(), time.thread_time()
        answer = client.get(address)
        body = answer.get_data()
        taken_ms.append((time.perf_counter() - began) * 1e3)
        cpu_ms.append((time.thread_time() - cpu) * 1e3)
        most = max(most, len(body))
        if answer.status_code != 200:
            raise RuntimeError(f"{address}: {answer.status}")
    return Measured(statistics.median(taken_ms), max(taken_ms), statistics.median(cpu_ms), most)


def say(way: Way, figures: Measured) -> None:
    """One line of the table."""
    kept = "kept" if way.bar_ms and figures.median_ms < way.bar_ms else "MISSED"
    bar = "" if way.bar_ms is None else f"bar {way.bar_ms:.0f} {kept}"
    print(
        f"{way.name:28}{figures.median_ms:9.1f}{figures.worst_ms:9.1f}{figures.cpu_ms:9.1f}"
        f"{figures.longest_bytes / 1000:9.0f} kB  {bar}",
        flush=True,
    )
