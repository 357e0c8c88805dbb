"""How the bench does over the weeks: wheels that were good at their first judged pass, and what the
others came back for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType
from typing import Final

NOT_JUDGED: Final = "not-judged"
GOOD: Final = "pass"


@dataclass(frozen=True, slots=True)
class Judged:
    """One pass as it was judged. ``reasons`` are the codes of all that kept it from being good."""

    serial: str
    number: int
    day: date
    word: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Week:
    """One week from its Monday: wheels first judged in it, how many of them were good, and how many
    came back for each reason (a wheel counts once a reason)."""

    monday: date
    wheels: int
    good: int
    reasons: Mapping[str, int]

    @property
    def name(self) -> str:
        """The week as calendars number it.

        >>> Week(date(2031, 4, 28), 0, 0, {}).name
        '2031 W18'
        """
        year, week, _ = self.monday.isocalendar()
        return f"{year} W{week:02d}"


@dataclass(frozen=True, slots=True)
class Weighed:
    """One wheel on the scale, beside its computed mass."""

    serial: str
    planned_g: float
    measured_g: float

    @property
    def off_percent(self) -> float:
        """Measured less planned, over planned.

        >>> Weighed("W31-00001-S", 640.0, 646.4).off_percent
        1.0
        """
        return round(100.0 * (self.measured_g / self.planned_g - 1.0), 9)


def monday_of(day: date) -> date:
    """The Monday of a day's week.

    >>> monday_of(date(2031, 5, 1)).isoformat()
    '2031-04-28'
    """
    return day - timedelta(days=day.weekday())


def over_weeks(passes: Iterable[Judged], today: date, count: int) -> tuple[Week, ...]:
    """The last ``count`` weeks, this one last; weeks without a wheel are weeks of nothing.

    A wheel counts in the week of its first judged pass: a pass with missing readings is no verdict on the
    wheel. Wheels whose pass 1 is not among ``passes`` are left out: nobody knows which was their first.
    """
    firsts = _first_judged(passes)
    last = monday_of(today)
    weeks: list[Week] = []
    for back in range(count - 1, -1, -1):
        monday = last - timedelta(weeks=back)
        here = [each for each in firsts if monday_of(each.day) == monday]
        came_back = Counter(
            reason for each in here if each.word != GOOD for reason in {*each.reasons}
        )
        good = sum(each.word == GOOD for each in here)
        weeks.append(
            Week(monday, len(here), good, MappingProxyType(dict(sorted(came_back.items()))))
        )
    return tuple(weeks)


def _first_judged(passes: Iterable[Judged]) -> tuple[Judged, ...]:
    by_wheel: dict[str, list[Judged]] = {}
    for each in passes:
        by_wheel.setdefault(each.serial, []).append(each)
    found: list[Judged] = []
    for of_wheel in by_wheel.values():
        of_wheel.sort(key=lambda each: each.number)
        judged = [each for each in of_wheel if each.word != NOT_JUDGED]
        if of_wheel[0].number == 1 and judged:
            found.append(judged[0])
    return tuple(found)


def reasons_by_weight(weeks: Iterable[Week]) -> tuple[tuple[str, int], ...]:
    """Every reason with its count over all weeks, the most frequent first."""
    total: Counter[str] = Counter()
    for each in weeks:
        total.update(each.reasons)
    return tuple(sorted(total.items(), key=lambda each: (-each[1], each[0])))
