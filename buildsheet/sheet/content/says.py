"""What a sheet says, part by part: plain strings in reading order, without place or size."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.plan.plan import Side
from buildsheet.wheel.spec import LacedSpoke, Sides


@dataclass(frozen=True, slots=True)
class Banner:
    """What this paper is. ``release`` is True where it must not be built from before a signature;
    ``released`` says who gave one to the record, where one was needed."""

    order: str
    serial: str
    issue: str
    wanted_by: str
    edition: str
    position: str
    of: str
    use: str
    origin: str
    note_cue: str
    bench_url: str
    release: bool
    released: str = ""


@dataclass(frozen=True, slots=True)
class SideSays:
    """One side's spokes and tension. ``word`` is LEFT or RIGHT, ``feature`` what is seen there."""

    side: Side
    word: str
    feature: str
    count: str
    length: str
    computed: str
    type: str
    type_name: str
    tension_n: str
    tension_kgf: str
    band_n: str


@dataclass(frozen=True, slots=True)
class PickSays:
    """One part to fetch: the line as printed, and what the rider's bag gets of it ('' nothing)."""

    line: str
    spare: str = ""


@dataclass(frozen=True, slots=True)
class FirstSpoke:
    """One of the first four spokes."""

    hole: str
    side: Side
    word: str
    hub_hole: str
    run: str
    head: str


@dataclass(frozen=True, slots=True)
class LacingSays:
    """The lacing in words, and the map the picture is drawn from.

    ``view`` is the side toward the reader; ``repeat`` how each side goes on after its first spokes;
    ``bed_toward`` the side an asymmetric rim's spoke bed lies on (None: symmetric).
    """

    view: str
    pattern: str
    first: tuple[FirstSpoke, ...]
    repeat: Sides[str]
    bed_toward: Side | None
    bed_words: str
    spokes: tuple[LacedSpoke, ...]


@dataclass(frozen=True, slots=True)
class StopSays:
    """The value no spoke may ever read above, and where it comes from."""

    newtons: str
    kgf: str
    set_by: str


@dataclass(frozen=True, slots=True)
class Named:
    """A name and its value, with a word on how it is meant."""

    name: str
    value: str
    meant: str = ""


@dataclass(frozen=True, slots=True)
class Release:
    """Something that needs an approval by name before the wheel is built."""

    says: str
    reason: str


@dataclass(frozen=True, slots=True)
class Reading:
    """Something to measure: its name, what was computed or is allowed, and the places to write.

    ``places`` holds a word for each empty place ('' a plain one); ``choices`` are what the reader has
    to tick so that the figure means one thing only.
    """

    name: str
    expected: str
    places: tuple[str, ...] = ("",)
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordSays:
    """The record side: holes of each side in order, figures to measure, numbers to note, boxes.

    ``asked`` is every release and caution of the order at full length.
    """

    holes: Sides[tuple[str, ...]]
    readings: tuple[Reading, ...]
    serials: tuple[str, ...]
    boxes: tuple[str, ...]
    finish: tuple[str, ...]
    verdict: str
    verdict_means: str
    verdicts: tuple[str, ...]
    asked: str
    note_title: str
    customer: str


@dataclass(frozen=True, slots=True)
class SheetSays:
    """Both sides of one wheel's sheet."""

    title: str
    banner: Banner
    sides: Sides[SideSays]
    pick: tuple[PickSays, ...]
    checks: tuple[Named, ...]
    lacing: LacingSays
    gate: str
    stop: StopSays
    limits: tuple[Named, ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    warned: tuple[str, ...]
    releases: tuple[Release, ...]
    note: str
    record: RecordSays
