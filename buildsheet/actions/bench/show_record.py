"""A record on a screen: in words and pictures, out of the same document as on paper."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.bench.record import record_of
from buildsheet.actions.bench.statistics import BenchStatistics
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.sheet.as_built import (
    RecordSays,
    as_built_run_out,
    as_built_says,
    as_built_tension,
)
from buildsheet.sheet.charts.mass import mass_svg
from buildsheet.sheet.charts.yield_over_time import yield_over_time_svg

CSS_CLASS = "lacing"
"""The style sheet's class for a picture as wide as the page allows."""


@dataclass(frozen=True, slots=True)
class RecordShown:
    """The document, what it says, and its pictures as SVG ('' where nothing was read)."""

    document: dict[str, Value]
    says: RecordSays
    tension: str
    run_out: str


@dataclass(frozen=True, slots=True)
class BenchPictures:
    """How the bench does, as SVG."""

    first_pass: str
    mass: str


def show_record(workshop: Workshop, serial: str) -> RecordShown | None:
    """The record of one wheel, or None."""
    made = record_of(workshop, serial)
    if made is None:
        return None
    return RecordShown(
        made,
        as_built_says(made),
        as_built_tension(made, CSS_CLASS),
        as_built_run_out(made, CSS_CLASS),
    )


def bench_pictures(statistics: BenchStatistics) -> BenchPictures:
    """The statistics drawn."""
    return BenchPictures(
        yield_over_time_svg(statistics.weeks, CSS_CLASS),
        mass_svg(statistics.weighed, statistics.mass_percent, CSS_CLASS),
    )
