"""The stations of a wheel's day in words, and which of them is to be done now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.actions.bench.view import BenchView
from buildsheet.bench.stations import STATIONS
from buildsheet.bench.stations.labels import GAUGE_CHECK, LABELS, READINGS, SIGN, SLACKEN

VERDICT: Final = "verdict"
"""What the newest pass amounts to, and what to turn: shown between readings and signature."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the day: ``state`` is done, now or open."""

    name: str
    label: str
    state: str


def doing(view: BenchView, asked: str | None) -> str:
    """What the page is about: what was asked for, else what is next; "" where all is done."""
    if asked in LABELS or asked == VERDICT:
        return VERDICT if asked == SIGN else str(asked)
    following = view.next_thing
    if following == SLACKEN:
        return VERDICT
    if following != SIGN:
        return following
    return VERDICT if counts(view) else READINGS


def counts(view: BenchView) -> bool:
    """Whether the newest pass was read under the sheet in force."""
    return bool(view.passes) and view.passes[-1].issue == view.task.issue


def stopped_at(view: BenchView) -> int:
    """The number of the pass that stops the wheel; 0 where nothing does."""
    return view.stop.number if view.stop else 0


def the_day(view: BenchView, now: str) -> tuple[Entry, ...]:
    """Every station of this wheel with how far it is."""
    alone = view.document.get("kind") != "set"
    here = SIGN if now == VERDICT else now
    entries = []
    for name, label in LABELS.items():
        if name == GAUGE_CHECK or (name == "pair" and alone):
            continue
        state = "now" if name == here else "done" if name in view.done else "open"
        entries.append(Entry(name, label, state))
    return tuple(entries)


def says(station: str) -> str:
    """What to do there, in one line."""
    if station in STATIONS:
        return STATIONS[station].says
    return {
        READINGS: "Read every spoke with one gauge, then run-out, dish and mass.",
        GAUGE_CHECK: "Hold the gauge against its rod or reference wheel.",
    }.get(station, "")
