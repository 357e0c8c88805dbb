"""One kind of input after another into the program: what came of them, how long it took, what broke.

Inputs that reach lines no input reached before, or that are told something new, are kept and bent
further.
"""

from __future__ import annotations

import functools
import gc
import signal
import traceback
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from time import monotonic, process_time
from types import FrameType
from typing import Final, NamedTuple, Protocol

from tests.soak.fuzz_lines import Lines

SLOW_S: Final = 2.0
"""Processor time that no input may take."""

HANGS_S: Final = 30.0
"""By the clock on the wall, on a machine that others use as well."""

ROUND: Final = 500
"""Inputs between two looks at what they left behind."""

WAKE_EVERY: Final = 10
MOST_CORPUS: Final = 3000
MOST_GROWTH_MB: Final = 900
UNBOUNDED_MOST: Final = 2000
"""Entries of a memory without a bound, beyond which it is taken for one that inputs can fill."""


@dataclass(frozen=True, slots=True)
class Input:
    """``where`` it goes (an address, a file's name), and what is sent."""

    where: str
    body: bytes


class Told(NamedTuple):
    """What came of an input: accepted or not, and what was said about it, as words."""

    accepted: bool
    said: frozenset[str]


class Fault(Exception):
    """The program did what it never may."""


class TooLong(BaseException):
    """The input took longer than anybody waits."""


class Target(Protocol):
    """One kind of input."""

    name: str

    def seeds(self) -> Sequence[Input]:
        """Sound inputs to begin with."""

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Another input."""

    def ask(self, one: Input) -> Told:
        """Give it to the program. Any exception is a fault."""

    def rest(self) -> None:
        """Look at what the last inputs left behind; raises Fault."""


@dataclass(slots=True)
class Figures:
    """What came of one kind of input."""

    name: str
    inputs: int = 0
    accepted: int = 0
    seconds: float = 0.0
    slowest_s: float = 0.0
    slowest: str = ""
    kept: int = 0
    lines: int = 0
    grown_mb: float = 0.0
    faults: list[str] = field(default_factory=list)


class Ledger:
    """The input that is in the program right now, where a process that died cannot take it along; and
    every input that broke something, kept as a file."""

    def __init__(self, folder: Path, name: str) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._folder = folder
        self._now = (folder / f"{name}.now").open("wb", buffering=0)

    def about(self, one: Input) -> None:
        """Note what goes in now."""
        self._now.seek(0)
        self._now.write(one.where.encode("utf-8", "surrogatepass") + b"\n" + one.body)
        self._now.truncate()

    def keep(self, name: str, one: Input) -> Path:
        """Keep an input that broke something."""
        path = self._folder / name
        path.write_bytes(one.where.encode("utf-8", "surrogatepass") + b"\n" + one.body)
        return path


def run(target: Target, count: int, seed: int, ledger: Ledger) -> Figures:
    """So many inputs of one kind, from one seed."""
    figures, lines, dice = Figures(target.name), Lines(), Random(f"{seed} {target.name}")  # noqa: S311
    seeds = [*target.seeds()]
    corpus, said = [*seeds], set[frozenset[str]]()
    seen: set[str] = set()
    grown = _megabytes()
    began = monotonic()
    for turn in range(count):
        one = seeds[turn] if turn < len(seeds) else target.next(dice, corpus)
        if turn % WAKE_EVERY == 0:
            lines.wake()
        ledger.about(one)
        before = process_time()
        try:
            with _in_time(), lines.watched():
                told = target.ask(one)
        except (Exception, TooLong) as trouble:  # noqa: BLE001 - whatever it is, it is what we look for
            _note(figures, seen, trouble, one, ledger)
            told = Told(False, frozenset({"fault"}))
        taken = process_time() - before
        figures.inputs += 1
        figures.accepted += told.accepted
        if taken > figures.slowest_s:
            figures.slowest_s, figures.slowest = taken, shown(one)
        if taken > SLOW_S:
            _note(figures, seen, Fault(f"took {taken:.1f} s of processor time"), one, ledger)
        if lines.fresh or told.said not in said:
            said.add(told.said)
            corpus.append(one)
            if len(corpus) > MOST_CORPUS:
                del corpus[len(seeds) : len(seeds) + MOST_CORPUS // 4]
        if turn % ROUND == ROUND - 1 or turn == count - 1:
            _rest(target, figures, seen, ledger)
    figures.seconds = monotonic() - began
    figures.kept, figures.lines = len(corpus), lines.count
    figures.grown_mb = _megabytes() - grown
    if figures.grown_mb > MOST_GROWTH_MB:
        figures.faults.append(f"{target.name}: {figures.grown_mb:.0f} MB more memory in use")
    figures.faults += unbounded()
    return figures


def shown(one: Input) -> str:
    """An input in one short line."""
    body = one.body if len(one.body) <= 160 else one.body[:120] + b" ... " + one.body[-30:]
    return f"{one.where} {body!r} ({len(one.body)} bytes)"


def unbounded() -> list[str]:
    """Memories without a bound that inputs have filled."""
    full = []
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper):
            info = each.cache_info()
            name = f"{each.__module__}.{each.__name__}"
            if info.maxsize is None and info.currsize > UNBOUNDED_MOST and "buildsheet" in name:
                full.append(f"{name} remembers {info.currsize} and has no bound")
    return full


def _rest(target: Target, figures: Figures, seen: set[str], ledger: Ledger) -> None:
    try:
        target.rest()
    except Exception as trouble:  # noqa: BLE001 - as above
        _note(figures, seen, trouble, Input("after a round", b""), ledger)


def _note(
    figures: Figures, seen: set[str], trouble: BaseException, one: Input, ledger: Ledger
) -> None:
    """Keep one input for each place where something broke."""
    frames = traceback.extract_tb(trouble.__traceback__)
    ours = [each for each in frames if "/buildsheet/" in each.filename] or frames
    where = f"{Path(ours[-1].filename).name}:{ours[-1].lineno}" if ours else ""
    what = f"{type(trouble).__name__} at {where}: {str(trouble)[:300]}"
    place = f"{type(trouble).__name__} {where} {str(trouble)[:24]}"
    if place in seen:
        return
    seen.add(place)
    kept = ledger.keep(f"{figures.name.replace(' ', '-')}-{len(seen)}.bin", one)
    trace = "".join(traceback.format_exception(trouble))
    kept.with_suffix(".txt").write_text(f"{shown(one)}\n\n{trace}", errors="backslashreplace")
    figures.faults.append(f"{figures.name}: {what}\n    {shown(one)}\n    kept as {kept.name}")


@contextmanager
def _in_time() -> Iterator[None]:
    def ring(number: int, frame: FrameType | None) -> None:
        raise TooLong(f"more than {HANGS_S:g} s by the clock")

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, HANGS_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _megabytes() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6
