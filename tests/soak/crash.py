"""Kill -9 at random moments under load: nothing answered is lost, nothing is there twice, audits are clean.

One workshop file lives through all rounds. In each, sixteen senders post to a server with two workers:
orders, moves, changes, goods, steps and passes at the stand, now and then an edition, over shelves that
run short. Then the server is killed, with whatever else runs, and the file and every answer are looked at
again. A kill leaves the system's page cache: it shows what a crash of the program does, not what a power
cut does. For that the log of a copy is cut at a random byte.

SOAK_ROUNDS and SOAK_SEED set how many rounds and which chance; after a fault the files stay in var/soak/.
"""

from __future__ import annotations

import os
import secrets
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from random import Random
from typing import Final

from buildsheet.errors import BuildsheetError
from tests.soak.crashing.commands import Commands
from tests.soak.crashing.keeper import Keeper
from tests.soak.crashing.rounds import Soak, found, last_look, learn, one_round

KINDS: Final = {
    "all": 88,
    "the parent": 12,
    "a worker": 36,
    "backup": 20,
    "publish": 18,
    "restore": 14,
    "first load": 12,
}
"""Kinds of rounds, by what is killed (the server besides), and how many of each 200."""

ROUNDS: Final = sum(KINDS.values())
KEPT: Final = Path("var/soak")
MOST_TOLD: Final = 20
LONGEST_S: Final = 2400
"""A machine that does not get through by then shows nothing."""


def main() -> bool:
    """Whether the bar held."""
    rounds = int(os.environ.get("SOAK_ROUNDS") or ROUNDS)
    seed = os.environ.get("SOAK_SEED") or secrets.token_hex(4)
    print(f"{rounds} rounds, SOAK_SEED={seed}", flush=True)
    with tempfile.TemporaryDirectory() as name:
        directory = Path(name)
        file = found(directory / "workshop.db")
        warm = Path(shutil.copy(file, directory / "warm.db"))
        chance = Random(seed)
        with Keeper(warm, directory / "server.log") as keeper:
            soak = Soak(directory, seed, Commands(keeper, file, chance), chance)
            learn(soak)
            began = time.monotonic()
            for number, kind in enumerate(_kinds(rounds, chance)):
                _guarded(
                    soak, f"round {number + 1} ({kind})", partial(one_round, soak, number, kind)
                )
                _progress(soak, number, kind, time.monotonic() - began)
                if soak.faults:
                    break
                if time.monotonic() - began > LONGEST_S:
                    soak.note(
                        [f"stopped after {number + 1} rounds: {LONGEST_S} s are over"], "time"
                    )
                    break
            _guarded(soak, "at the end", partial(last_look, soak))
        _say(soak, time.monotonic() - began)
        if soak.faults:
            kept = KEPT / f"crash-{seed}"
            shutil.copytree(directory, kept, dirs_exist_ok=True)
            print(f"the files are in {kept}; again: SOAK_SEED={seed} SOAK_ROUNDS={rounds}")
    return not soak.faults


def _guarded(soak: Soak, at: str, act: Callable[[], None]) -> None:
    """What a file or a server does not let be done at all is a fault like the others."""
    try:
        act()
    except (BuildsheetError, RuntimeError, LookupError, OSError) as trouble:
        soak.note([f"{type(trouble).__name__}: {trouble}"], at)


def _kinds(rounds: int, chance: Random) -> list[str]:
    """The kinds of so many rounds in a random order, each as often as it should be."""
    every = [kind for kind, times in KINDS.items() for _ in range(times)]
    chance.shuffle(every)
    return [every[number % len(every)] for number in range(rounds)]


def _progress(soak: Soak, number: int, kind: str, took_s: float) -> None:
    if number % 20 == 19 or soak.faults:
        orders = sum(1 for _ in soak.book.taken("order"))
        print(
            f"round {number + 1:3} ({kind}): {orders} orders answered, {took_s:.0f} s", flush=True
        )


def _say(soak: Soak, took_s: float) -> None:
    figures, book = soak.figures, soak.book
    kills = ", ".join(f"{times} {kind}" for kind, times in figures.kills.most_common())
    print(f"{figures.kills.total()} rounds in {took_s:.0f} s; killed: {kills}")
    answered = ", ".join(
        f"{sum(1 for _ in book.taken(kind))} {said}"
        for kind, said in (
            ("order", "orders"),
            ("move", "moves"),
            ("goods", "lists of goods"),
            ("step", "steps"),
            ("pass", "passes"),
            ("publish", "editions"),
        )
    )
    print(f"answered: {answered}; refused for want of parts: {book.short}")
    print(
        f"cut off by a kill: {figures.unanswered}, of which {figures.had_been_done} had been done; "
        f"lines lost to a killed worker and sent again: {book.lost_lines}"
    )
    if figures.back_s:
        back_ms = [each * 1000.0 for each in figures.back_s]
        print(
            f"workers back after {statistics.median(back_ms):.0f} ms, at most {max(back_ms):.0f} ms"
        )
    print(
        f"logs cut at a random byte: {figures.cut}, shorter by {figures.cut_off} answers, all whole"
        if not soak.faults
        else f"logs cut at a random byte: {figures.cut}"
    )
    print(f"lost: {figures.lost}, twice: {figures.doubled}, other faults: {figures.other}")
    for said in soak.faults[:MOST_TOLD]:
        print(f"  FAULT {said}")
