"""How the bench does: first-pass yield and reasons over the weeks, masses against the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from buildsheet.actions.editions import NoEdition, running_edition
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.bench.over_time import Judged, Week, Weighed, monday_of, over_weeks
from buildsheet.storage import bench_figures

WEEKS: Final = 12


@dataclass(frozen=True, slots=True)
class BenchStatistics:
    """``mass_percent`` is the workshop's tolerance of today, None where no catalog is loaded. ``cut`` says
    that there were more wheels than were looked at."""

    weeks: tuple[Week, ...]
    weighed: tuple[Weighed, ...]
    mass_percent: float | None
    cut: bool


def bench_statistics(workshop: Workshop, weeks: int = WEEKS) -> BenchStatistics:
    """The last weeks up to today, by the workshop's clock in UTC, in which records are stamped."""
    today = workshop.clock().astimezone(UTC).date()
    first = monday_of(today) - timedelta(weeks=weeks - 1)
    since = stamp(datetime.combine(first, time(), UTC))
    with workshop.database.reading() as section:
        passes = bench_figures.first_judged_since(section, since)
        masses = bench_figures.weighed(section)
    try:
        mass_percent = running_edition(workshop).house.sheet.wheel_mass_percent
    except NoEdition:
        mass_percent = None
    judged = (
        Judged(serial, number, date.fromisoformat(at[:10]), word, codes)
        for serial, number, at, word, codes in passes
    )
    return BenchStatistics(
        weeks=over_weeks(judged, today, weeks),
        weighed=tuple(Weighed(*each) for each in masses),
        mass_percent=mass_percent,
        cut=len(passes) == bench_figures.MOST_WHEELS,
    )
