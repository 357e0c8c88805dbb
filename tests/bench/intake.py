"""Orders per second through POST /orders beside a bare endpoint that parses and commits one row.

All run on the same framework and server with two workers each, in short rounds by turns, loaded by 16
connections on the loopback, in workshops of their own with shelves that suffice. ``again``: seven example
orders under ten riders' masses, each with a number of its own, as a shop sells the same sets all week;
``new``: every order under masses that nobody ordered before. The bar: at least 0.6 of the bare one's orders
a second; 99 of 100 answers within twice the bare one's time. Shares are medians of neighbouring rounds,
because a machine with other work is never the same for long.
"""

from __future__ import annotations

import json
import statistics
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.shelf import disagreements
from buildsheet.actions.workshop import open_workshop
from tests.bench.serving.load import Answer, post_for
from tests.bench.serving.server import serving

CLIENTS = 16
ROUNDS = 10
ROUND_S = 1.5
WARM_UP_S = 4.0
DELIVERIES = 10
"""Of a million of everything: some two hundred thousand orders, more than a run can post."""
BAR_SHARE, BAR_TIMES = 0.6, 2.0

EXAMPLES = Path(__file__).parents[2] / "examples"
TAKEN = ("D-1001", "D-1002", "D-1003", "D-1004", "D-1009", "D-1010", "D-1011")

BARE = "tests.bench.serving.bare:from_environment"
WHOLE = "buildsheet.web.app:from_environment"


def new_orders(run: str, riders: int, step_kg: float) -> Iterator[bytes]:
    """Orders without end, none of them twice; after so many riders the masses come again."""
    orders = [json.loads((EXAMPLES / f"{name}.json").read_text()) for name in TAKEN]
    for number in count():
        order = dict(orders[number % len(orders)])
        order["number"] = f"{run}-{number}"
        lighter_kg = (number // len(orders)) % riders * step_kg
        rider_kg = round(order["use"]["rider_kg"] - lighter_kg, 3)
        order["use"] = {**order["use"], "rider_kg": rider_kg}
        yield json.dumps(order).encode()


def full_shelves() -> str:
    """The demo's shelves with a million of everything, the most that one delivery may have."""
    lines = (demo_directory() / "stock.csv").read_text(encoding="utf-8").splitlines()
    return "\n".join([lines[0], *(f"{line.rpartition(',')[0]},1000000" for line in lines[1:])])


def prepared(file: Path) -> Path:
    """A workshop file with the demo catalog and full shelves."""
    workshop = open_workshop(file)
    load_catalog(workshop, demo_directory())
    for _ in range(DELIVERIES):
        moved = load_stock(workshop, full_shelves(), by="bench")
        if moved.findings:
            raise RuntimeError(moved.findings[0].says)
    workshop.close()
    return file


def p99_ms(answers: list[Answer]) -> float:
    """The time within which 99 of 100 answers came."""
    times = sorted(answer.took_s for answer in answers)
    return times[int(len(times) * 0.99)] * 1e3


def main() -> None:
    with tempfile.TemporaryDirectory() as directory:
        bare = Path(directory, "bare.db")
        again, new = (prepared(Path(directory, f"{name}.db")) for name in ("again", "new"))
        with (
            serving(BARE, bare) as bare_port,
            serving(WHOLE, again) as again_port,
            serving(WHOLE, new) as new_port,
        ):
            measured = _measure(
                {
                    "bare": (bare_port, new_orders("bare", 10, 1.0)),
                    "again": (again_port, new_orders("again", 10, 1.0)),
                    "new": (new_port, new_orders("new", 9900, 0.001)),
                }
            )
        _say(measured)
        for file in (again, new):
            print(_left(file))


def _left(file: Path) -> str:
    """What a run left in its workshop, in words."""
    workshop = open_workshop(file)
    wrong = disagreements(workshop)
    with workshop.database.reading() as section:
        held = section.one("select count(*) from stock_holds")[0]
        wheels = section.one("select count(*) from wheels")[0]
    workshop.close()
    return f"{file.stem}: {wheels} wheels, parts set aside for {held}; sums that disagree: {len(wrong)}"


def _measure(
    runs: dict[str, tuple[int, Iterator[bytes]]],
) -> dict[str, list[tuple[float, float]]]:
    """Name -> (orders a second, p99 in ms) of every round; the runs take turns."""
    measured: dict[str, list[tuple[float, float]]] = {name: [] for name in runs}
    for port, bodies in runs.values():
        _round(port, bodies, WARM_UP_S)
    for _ in range(ROUNDS):
        for name, (port, bodies) in runs.items():
            measured[name].append(_round(port, bodies, ROUND_S))
    return measured


def _round(port: int, bodies: Iterator[bytes], lasting_s: float) -> tuple[float, float]:
    answers, took_s = post_for(port, "/api/v1/orders", bodies, clients=CLIENTS, lasting_s=lasting_s)
    refused = [answer.status for answer in answers if answer.status != 201]
    if refused:
        raise RuntimeError(f"{len(refused)} orders were not taken: {sorted(set(refused))}")
    return len(answers) / took_s, p99_ms(answers)


def _say(measured: dict[str, list[tuple[float, float]]]) -> None:
    print(f"{'':8}{'orders/s':>10}{'p99 ms':>10}{'share':>8}{'p99 x':>8}   each round: orders/s")
    for name, rounds in measured.items():
        beside = [*zip(rounds, measured["bare"], strict=True)]
        rate, tail_ms = (statistics.median(each[place] for each in rounds) for place in (0, 1))
        share = statistics.median(mine[0] / bare[0] for mine, bare in beside)
        times = statistics.median(mine[1] / bare[1] for mine, bare in beside)
        listed = " ".join(f"{each[0]:.0f}" for each in rounds)
        print(f"{name:8}{rate:10.0f}{tail_ms:10.1f}{share:8.2f}{times:8.2f}   {listed}")
    print(f"the bar: a share of at least {BAR_SHARE}, p99 at most {BAR_TIMES} times the bare one's")


if __name__ == "__main__":
    main()
