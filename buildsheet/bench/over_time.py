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
    wheel. ``passes`` must reach back to the first of every wheel in them; they may be those alone.
    """
    by_monday: dict[date, list[Judged]] = {}
    for each in _first_judged(passes):
        by_monday.setdefault(monday_of(each.day), []).append(each)
    last = monday_of(today)
    mondays = [last - timedelta(weeks=back) for back in range(count - 1, -1, -1)]
    return tuple(_week(monday, by_monday.get(monday, [])) for monday in mondays)


def _week(monday: date, firsts: list[Judged]) -> Week:
    back = [each for each in firsts if each.word != GOOD]
    reasons = Counter(reason for each in back for reason in {*each.reasons})
    return Week(
        monday,
        len(firsts),
        len(firsts) - len(back),
        MappingProxyType(dict(sorted(reasons.items()))),
    )


def _first_judged(passes: Iterable[Judged]) -> tuple[Judged, ...]:
    found: dict[str, Judged] = {}
    for each in passes:
        known = found.get(each.serial)
        if each.word != NOT_JUDGED and (known is None or each.number < known.number):
            found[each.serial] = each
    return tuple(found.values())


def reasons_by_weight(weeks: Iterable[Week]) -> tuple[tuple[str, int], ...]:
    """Every reason with its count over all weeks, the most frequent first."""
    total: Counter[str] = Counter()
    for each in weeks:
        total.update(each.reasons)
    return tuple(sorted(total.items(), key=lambda each: (-each[1], each[0])))
