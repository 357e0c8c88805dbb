"""Fuzz: inputs of every kind, bent by chance and by what they reach, into the whole program.

The bar: at least 100,000 inputs; no answer of 5xx, no hang, no process that ends, no input of more than
two seconds of processor time, nothing half stored (a refused request changes nothing in the file, and the
audit of every round is clean), and no memory that inputs fill without bound.

    make soak SOAK=fuzz
    SOAK_SEED=7 python -m tests.soak.fuzz --share 0.1 --only orders,rules

Inputs that broke something are kept under var/soak/fuzz, each with its trace.
"""

from __future__ import annotations

import argparse
import os
import secrets
import shutil
import sys
import time
from pathlib import Path
from typing import Final

from tests.soak.fuzzing.loop import HANGS_S, Figures
from tests.soak.fuzzing.processes import Worker, merged

INPUTS: Final = {
    "rules": 16_000,
    "wheel files": 14_000,
    "gauges": 12_000,
    "shelves": 12_000,
    "moves": 13_000,
    "bench": 13_000,
    "orders": 8_000,
    "choices": 2_000,
    "batches": 800,
    "csv tables": 3_500,
    "shelf files": 3_500,
    "workbooks": 1_000,
    "catalog files": 800,
    "draft": 600,
    "forms": 4_000,
    "described requests": 1_200,
}
"""Of each kind; what is quick to answer is asked more often."""

WANTED: Final = 100_000
FOLDER: Final = Path("var/soak/fuzz")
WORKERS: Final = 2


def main() -> bool:
    """Whether the bar held."""
    return fuzz(share=1.0, only=frozenset())


def fuzz(share: float, only: frozenset[str]) -> bool:
    """The same for a part of it; ``only`` names kinds, none for all."""
    seed = int(os.environ.get("SOAK_SEED") or secrets.randbelow(1_000_000))
    shutil.rmtree(FOLDER, ignore_errors=True)
    FOLDER.mkdir(parents=True)
    wanted = {name: count for name, count in INPUTS.items() if not only or name in only}
    shares = [(name, max(1, int(count * share / WORKERS + 0.5))) for name, count in wanted.items()]
    print(f"SOAK_SEED={seed}, {WORKERS} processes", flush=True)
    began = time.monotonic()
    workers = [Worker(number, seed, shares, FOLDER) for number in range(WORKERS)]
    while workers_left := [each for each in workers if not each.is_done()]:
        time.sleep(0.5 / len(workers_left))
    figures = merged([each for worker in workers for each in worker.figures])
    return told(figures, time.monotonic() - began, whole=share >= 1.0 and not only)


def told(figures: list[Figures], seconds: float, *, whole: bool) -> bool:
    heads = ("", "inputs", "accepted", "refused", "per s", "slowest", "lines", "MB")
    print("{:<20}{:>8}{:>10}{:>9}{:>7}{:>9}{:>7}{:>5}".format(*heads))
    for each in figures:
        pace = each.inputs / max(each.seconds, 0.001)
        print(
            f"{each.name:<20}{each.inputs:>8}{each.accepted:>10}{each.inputs - each.accepted:>9}"
            f"{pace:>7.0f}{each.slowest_s:>7.2f} s{each.lines:>7}{each.grown_mb:>5.0f}"
        )
    total = sum(each.inputs for each in figures)
    print(f"{'in all':<20}{total:>8} inputs in {seconds:.0f} s")
    worst = max(figures, key=lambda each: each.slowest_s)
    print(f"slowest: {worst.name}: {worst.slowest_s:.2f} s of processor time: {worst.slowest}")
    if stood_still := sum(each.stood_still for each in figures):
        print(f"no answer within {HANGS_S:g} s, and asked again: {stood_still}")
    faults = [fault for each in figures for fault in each.faults]
    for fault in faults:
        print(f"FAULT {fault}")
    if whole and total < WANTED:
        print(f"FAULT only {total} inputs; {WANTED} are wanted")
    return not faults and not (whole and total < WANTED)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--only", default="")
    asked = parser.parse_args()
    kinds = frozenset(filter(None, asked.only.split(",")))
    sys.exit(0 if fuzz(asked.share, kinds) else 1)
