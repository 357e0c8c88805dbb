"""A record's document read for print: what is not there says so, and is never blank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from buildsheet.bench.record import NOT_RECORDED
from buildsheet.wheel.spec import Side, Sides

NO_PART: Final = "none"
"""For parts that a wheel may do without: a front hub has no driver."""


class Recorded:
    """The members of one document by path."""

    def __init__(self, members: Mapping[str, Any]) -> None:
        self._members = members

    def at(self, *path: str) -> Any:
        """What stands there; None where nothing does or it was not recorded."""
        here: Any = self._members
        for name in path:
            here = here.get(name) if isinstance(here, Mapping) else None
        return None if here == NOT_RECORDED else here

    def text(self, *path: str, absent: str = NOT_RECORDED) -> str:
        """The same in words."""
        return words(self.at(*path), absent)

    def number(self, *path: str) -> float | None:
        """The same where it is a number."""
        found = self.at(*path)
        return (
            float(found) if isinstance(found, int | float) and not isinstance(found, bool) else None
        )

    def rows(self, *path: str) -> list[Recorded]:
        """A list of objects; empty where there is none."""
        found = self.at(*path)
        if not isinstance(found, Sequence) or isinstance(found, str):
            return []
        return [Recorded(each) for each in found if isinstance(each, Mapping)]

    def values(self, *path: str) -> tuple[Any, ...]:
        """A list of plain values; () where there is none."""
        found = self.at(*path)
        return tuple(found) if isinstance(found, list | tuple) else ()

    @property
    def sides(self) -> tuple[Side, ...]:
        """The side of every spoke, by rim hole."""
        return self.values("planned", "sides_by_hole")

    @property
    def tension_n(self) -> tuple[float | None, ...]:
        """Newtons by rim hole of the pass that counts; None where nothing was read."""
        read = self.values("measured", "tension_n")
        return read if len(read) == len(self.sides) else (None,) * len(self.sides)

    @property
    def target_n(self) -> Sides[float]:
        """The planned mean of each side."""
        return Sides(
            self.number("planned", "left_n") or 0.0, self.number("planned", "right_n") or 0.0
        )

    def station(self, name: str) -> Recorded:
        """What was recorded at one station."""
        for each in self.rows("steps"):
            if each.text("station") == name:
                return each
        return Recorded({})


def words(value: Any, absent: str = NOT_RECORDED) -> str:
    """A value as a person would write it.

    >>> words(None), words(True), words([1, 2.50]), words(0.25)
    ('not recorded', 'yes', '1, 2.5', '0.25')
    """
    if value is None or value in ("", [], ()):
        return absent
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list | tuple):
        return ", ".join(words(each) for each in value)
    return str(value)


def moment(at: str) -> str:
    """A stored time to the minute.

    >>> moment("2031-05-01T08:00:00.250Z"), moment("not recorded")
    ('2031-05-01 08:00 UTC', 'not recorded')
    """
    return f"{at[:10]} {at[11:16]} UTC" if at[10:11] == "T" else at


def newtons(force_n: float | None) -> str:
    """Whole newtons, as read.

    >>> newtons(765.6), newtons(None)
    ('766 N', 'not recorded')
    """
    return NOT_RECORDED if force_n is None else f"{force_n:.0f} N"


def millimetres(length_mm: float | None, digits: int = 2) -> str:
    """Millimetres with so many decimals."""
    return NOT_RECORDED if length_mm is None else f"{length_mm:.{digits}f} mm"
