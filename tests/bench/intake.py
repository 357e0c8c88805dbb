"""Orders per second through POST /orders beside a bare endpoint that parses and commits one row.

Both run on the same framework and server with two workers, one after the other in short rounds, loaded by
16 connections on the loopback. Every order is new: seven example orders under changing masses and numbers,
on shelves that suffice. The bar: at least 0.6 of the bare one's orders a second; 99 of 100 answers within
twice the bare one's time.
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
ROUNDS = 5
ROUND_S = 4.0
WARM_UP_S = 3.0
BAR_SHARE, BAR_TIMES = 0.6, 2.0

EXAMPLES = Path(__file__).parents[2] / "examples"
TAKEN = ("D-1001", "D-1002", "D-1003", "D-1004", "D-1009", "D-1010", "D-1011")

BARE = "tests.bench.serving.bare:from_environment"
WHOLE = "buildsheet.web.app:from_environment"


def new_orders(run: str) -> Iterator[bytes]:
    """Orders without end, none of them twice."""
    orders = [json.loads((EXAMPLES / f"{name}.json").read_text()) for name in TAKEN]
    for number in count():
        order = dict(orders[number % len(orders)])
        order["number"] = f"{run}-{number}"
        # 0 to 9.9 kg less than the example's rider: so that no two answers are about the same order
        lighter_kg = (number // len(orders)) % 100 / 10.0
        order["use"] = {**order["use"], "rider_kg": order["use"]["rider_kg"] - lighter_kg}
        yield json.dumps(order).encode()


def full_shelves() -> str:
    """The demo's shelves with a million of everything."""
    lines = (demo_directory() / "stock.csv").read_text(encoding="utf-8").splitlines()
    return "\n".join([lines[0], *(f"{line.rpartition(',')[0]},1000000" for line in lines[1:])])


def prepared(file: Path) -> Path:
    """A workshop file with the demo catalog and full shelves."""
    workshop = open_workshop(file)
    load_catalog(workshop, demo_directory())
    load_stock(workshop, full_shelves(), by="bench")
    workshop.close()
    return file


def p99_ms(answers: list[Answer]) -> float:
    """The time within which 99 of 100 answers came."""
    times = sorted(answer.took_s for answer in answers)
    return times[int(len(times) * 0.99)] * 1e3


def main() -> None:
    with tempfile.TemporaryDirectory() as directory:
        whole, bare = prepared(Path(directory, "whole.db")), Path(directory, "bare.db")
        with serving(WHOLE, whole) as whole_port, serving(BARE, bare) as bare_port:
            measured = _measure({"bare": bare_port, "whole": whole_port})
        workshop = open_workshop(whole)
        wrong = disagreements(workshop)
        workshop.close()
    _say(measured)
    print(f"stock sums that disagree with their movements: {len(wrong)}")


def _measure(ports: dict[str, int]) -> dict[str, list[tuple[float, float]]]:
    """Name -> (orders a second, p99 in ms) of every round; the servers take turns."""
    bodies = {name: new_orders(name) for name in ports}
    measured: dict[str, list[tuple[float, float]]] = {name: [] for name in ports}
    for name, port in ports.items():
        _round(port, bodies[name], WARM_UP_S)
    for _ in range(ROUNDS):
        for name, port in ports.items():
            measured[name].append(_round(port, bodies[name], ROUND_S))
    return measured


def _round(port: int, bodies: Iterator[bytes], lasting_s: float) -> tuple[float, float]:
    answers, took_s = post_for(port, "/api/v1/orders", bodies, clients=CLIENTS, lasting_s=lasting_s)
    refused = [answer.status for answer in answers if answer.status != 201]
    if refused:
        raise RuntimeError(f"{len(refused)} orders were not taken: {sorted(set(refused))}")
    return len(answers) / took_s, p99_ms(answers)


def _say(measured: dict[str, list[tuple[float, float]]]) -> None:
    print(f"{'':8}{'orders/s':>10}{'p99 ms':>10}   each round: orders/s")
    middle: dict[str, tuple[float, float]] = {}
    for name, rounds in measured.items():
        rates, tails = zip(*rounds, strict=True)
        middle[name] = statistics.median(rates), statistics.median(tails)
        listed = " ".join(f"{rate:.0f}" for rate in rates)
        print(f"{name:8}{middle[name][0]:10.0f}{middle[name][1]:10.1f}   {listed}")
    share = middle["whole"][0] / middle["bare"][0]
    times = middle["whole"][1] / middle["bare"][1]
    print(f"share of the bare one's orders/s: {share:.2f} (bar: {BAR_SHARE})")
    print(f"p99 over the bare one's:          {times:.2f} (bar: {BAR_TIMES})")


if __name__ == "__main__":
    main()
