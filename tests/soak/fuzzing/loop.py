"""One kind of input after another into the program: what came of them, how long it took, what broke.

Inputs that reach lines no input reached before, or that are told something new, are kept and bent
further.
"""

from __future__ import annotations

import functools
import gc
import signal
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from time import monotonic, process_time
from types import FrameType
from typing import Final, NamedTuple, Protocol, TypeVar

from tests.soak.fuzzing.lines import Lines

SLOW_S: Final = 2.0
"""Processor time that no input may take."""

HANGS_S: Final = 30.0
"""By the clock on the wall, twice."""

ROUND: Final = 500
"""Inputs between two looks at what they left behind."""

WAKE_EVERY: Final = 40
WATCHED_SHARE: Final = 0.15
"""Of the time that inputs take: watching which lines they reach costs several times as much."""

LARGEST_WATCHED: Final = 30_000
LARGEST_KEPT: Final = 16_000
MOST_CORPUS: Final = 3000
MOST_GROWTH_MB: Final = 900
UNBOUNDED_MOST: Final = 2000
"""Entries of a memory without a bound, beyond which it is taken for one that inputs can fill."""


T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Bounds:
    """What one input, one round and one kind may take; the tests of the judge make them small."""

    slow_s: float = SLOW_S
    hangs_s: float = HANGS_S
    round: int = ROUND
    remembered: int = UNBOUNDED_MOST


@dataclass(frozen=True, slots=True)
class Input:
    """``where`` it goes (an address, a file's name), and what is sent."""

    where: str
    body: bytes


class Told(NamedTuple):
    """What came of an input: accepted or not, and what was said about it, as words; ``counts_all`` where
    the answer looks at all that can be ordered, which takes seconds after every change of a draft."""

    accepted: bool
    said: frozenset[str]
    counts_all: bool = False


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
    stood_still: int = 0
    faults: list[str] = field(default_factory=list)


class Ledger:
    """The input that is in the program right now, where a process that died cannot take it along; and
    every input that broke something, kept as a file."""

    def __init__(self, folder: Path, name: str, number: int = 0) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._folder, self.number = folder, number
        self._now = (folder / f"{name}.now").open("wb", buffering=0)

    def about(self, one: Input) -> None:
        """Note what goes in now."""
        self._now.seek(0)
        self._now.write(one.where.encode("utf-8", "surrogatepass") + b"\n" + one.body)
        self._now.truncate()

    def close(self) -> None:
        """Nothing more goes in."""
        self._now.close()

    def keep(self, name: str, one: Input) -> Path:
        """Keep an input that broke something."""
        path = self._folder / name
        path.write_bytes(one.where.encode("utf-8", "surrogatepass") + b"\n" + one.body)
        return path


class Course:
    """One kind of input on its way through the program."""

    def __init__(
        self, target: Target, seed: int, ledger: Ledger, bounds: Bounds | None = None
    ) -> None:
        self._target, self._ledger, self._bounds = target, ledger, bounds or Bounds()
        self._dice = Random(f"{seed} {target.name}")
        self.figures = Figures(target.name)
        self._lines = Lines()
        self._seeds = [*target.seeds()]
        self._corpus, self._said = [*self._seeds], set[frozenset[str]]()
        self._seen: set[str] = set()
        self._watched_s = self._all_s = 0.0

    def run(self, count: int) -> Figures:
        """So many inputs."""
        figures, grown, began = self.figures, _megabytes(), monotonic()
        for turn in range(count):
            self._one(turn)
            if (turn + 1) % self._bounds.round == 0 or turn == count - 1:
                self._rest()
        figures.seconds = monotonic() - began
        figures.kept, figures.lines = len(self._corpus), self._lines.count
        figures.grown_mb = _megabytes() - grown
        if figures.grown_mb > MOST_GROWTH_MB:
            figures.faults.append(f"{figures.name}: {figures.grown_mb:.0f} MB more memory in use")
        figures.faults += unbounded(self._bounds.remembered)
        return figures

    def _one(self, turn: int) -> None:
        is_seed = turn < len(self._seeds)
        one = self._seeds[turn] if is_seed else self._target.next(self._dice, self._corpus)
        if turn % WAKE_EVERY == 0:
            self._lines.wake()
        # What is large is there for its time, not for the lines that it reaches.
        watch = len(one.body) < LARGEST_WATCHED and self._watched_s <= WATCHED_SHARE * self._all_s
        told, taken = self._asked(one, self._lines if watch else None)
        self._all_s += taken
        self._watched_s += taken if watch else 0.0
        if watch and taken > self._bounds.slow_s / 2 and not told.counts_all:
            # Watching makes slow: only a time that nobody watched counts.
            _, taken = self._asked(one, None)
        if told.counts_all:
            taken = 0.0
        if taken > self.figures.slowest_s and not watch:
            self.figures.slowest_s, self.figures.slowest = taken, shown(one)
        if taken > self._bounds.slow_s:
            self._note(Fault(f"took {taken:.1f} s of processor time"), one)
        self.figures.inputs += 1
        self.figures.accepted += told.accepted
        is_new = (watch and self._lines.fresh) or told.said not in self._said
        # What is large grows when it is bent, until nothing else is done than reading it.
        if is_new and not is_seed and len(one.body) <= LARGEST_KEPT:
            self._corpus.append(one)
            if len(self._corpus) > MOST_CORPUS:
                del self._corpus[len(self._seeds) : len(self._seeds) + MOST_CORPUS // 4]
        self._said.add(told.said)

    def _asked(self, one: Input, lines: Lines | None) -> tuple[Told, float]:
        self._ledger.about(one)
        before = process_time()
        try:
            told = patiently(lambda: self._watched(one, lines), self._bounds.hangs_s, self.figures)
        except (Exception, TooLong) as trouble:  # noqa: BLE001 - whatever it is, it is what we look for
            self._note(trouble, one)
            told = Told(False, frozenset({"fault"}))
        return told, process_time() - before

    def _watched(self, one: Input, lines: Lines | None) -> Told:
        with lines.watched() if lines else nullcontext():
            return self._target.ask(one)

    def _rest(self) -> None:
        try:
            self._target.rest()
        except Exception as trouble:  # noqa: BLE001 - as above
            self._note(trouble, Input("after a round", b""))

    def _note(self, trouble: BaseException, one: Input) -> None:
        broke(self.figures, self._seen, trouble, one, self._ledger)


def shown(one: Input) -> str:
    """An input in one short line."""
    body = one.body if len(one.body) <= 160 else one.body[:120] + b" ... " + one.body[-30:]
    return f"{one.where} {body!r} ({len(one.body)} bytes)"


def unbounded(most: int = UNBOUNDED_MOST) -> list[str]:
    """Memories without a bound that inputs have filled."""
    full = []
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper):
            info = each.cache_info()
            name = f"{each.__module__}.{each.__name__}"
            if info.maxsize is None and info.currsize > most and "buildsheet" in name:
                full.append(f"{name} remembers {info.currsize} and has no bound")
    return full


def broke(
    figures: Figures, seen: set[str], trouble: BaseException, one: Input, ledger: Ledger
) -> None:
    """Keep one input for each place where something broke."""
    deepest = trouble.__cause__ or trouble
    frames = traceback.extract_tb(deepest.__traceback__)
    ours = [each for each in frames if "/buildsheet/" in each.filename] or frames
    where = f"{Path(ours[-1].filename).name}:{ours[-1].lineno}" if ours else ""
    what = f"{type(deepest).__name__} at {where}: {str(trouble)[:160]} {str(deepest)[:160]}"
    place = f"{type(deepest).__name__} {where} {_words(str(deepest))}"
    if place in seen:
        return
    seen.add(place)
    kept = ledger.keep(f"{figures.name.replace(' ', '-')}-{ledger.number}-{len(seen)}.bin", one)
    trace = "".join(traceback.format_exception(trouble))
    kept.with_suffix(".txt").write_text(f"{shown(one)}\n\n{trace}", errors="backslashreplace")
    figures.faults.append(f"{figures.name}: {what}\n    {shown(one)}\n    kept as {kept.name}")


def _words(text: str) -> str:
    """The beginning of a message without its numbers: the same trouble is told once."""
    return "".join(each for each in text[:30] if not each.isdigit())


def patiently(ask: Callable[[], T], limit_s: float, figures: Figures) -> T:
    """What ``ask`` gives; raises TooLong where it takes too long twice.

    What hangs leaves nothing behind, so it hangs again; what only stood still because the machine gave
    this process no turn is answered the second time [seen: half a minute for an input of 0.06 s of
    processor time]. How often that was is told with the figures.
    """
    try:
        with within(limit_s):
            return ask()
    except TooLong:
        figures.stood_still += 1
    with within(limit_s):
        return ask()


@contextmanager
def within(limit_s: float) -> Iterator[None]:
    """Raises TooLong in whatever is still running after so long."""

    def ring(number: int, frame: FrameType | None) -> None:
        raise TooLong(f"more than {limit_s:g} s by the clock")

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, limit_s)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _megabytes() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6
