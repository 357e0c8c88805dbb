"""What is short, said so that somebody can act: how many, when more comes, what is on the shelf."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Change, Finding, Severity, Value
from buildsheet.orders.reservation.alternatives import Option, instead
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.need import Need

MOST_VALUES: Final = 12
"""More values than this at one place help nobody to choose."""

MOST_SETS: Final = 3
MOST_ARRIVALS: Final = 5


@dataclass(frozen=True, slots=True)
class Shelves:
    """What is free of every article, and what is still to come: item -> (day, pieces), the earliest
    first. An article that is not named was never counted."""

    free: Mapping[str, int]
    coming: Mapping[str, tuple[tuple[str, int], ...]] = field(default_factory=dict)

    def lacks(self, takes: Mapping[str, int]) -> dict[str, int]:
        """Item -> pieces that are not there, for what a list takes.

        >>> Shelves({"KF4/24": 1}).lacks({"KF4/24": 1, "B": 2})
        {'B': 2}
        """
        return {
            item: count - max(self.free.get(item, 0), 0)
            for item, count in takes.items()
            if count > self.free.get(item, 0)
        }


def still_to_come(
    announced: Iterable[tuple[str, int]], outstanding: int
) -> tuple[tuple[str, int], ...]:
    """The deliveries that have not come, when so many pieces are outstanding: the earliest came first.

    >>> still_to_come([("2031-05-12", 10), ("2031-05-15", 20)], 25)
    (('2031-05-12', 5), ('2031-05-15', 20))
    """
    left: list[tuple[str, int]] = []
    for day, count in sorted(announced, reverse=True):
        here = min(count, outstanding)
        if here > 0:
            left.append((day, here))
            outstanding -= here
    return tuple(reversed(left))


def shortage(
    needs: Mapping[str, Need],
    shelves: Shelves,
    document: Mapping[str, Value],
    edition: Edition,
) -> tuple[Finding, ...]:
    """One block for every article that is short, in the order of the pick list; none where all is free.

    ``try_`` and ``together`` hold changes that can be built, make the article suffice, and make no
    other one short; those that come nearest to what was ordered stand first.
    """
    lacking = shelves.lacks({item: need.pieces for item, need in needs.items()})
    return tuple(
        _said(needs[item], missing, shelves, lacking, document, edition)
        for item, missing in lacking.items()
    )


def short_now(needs: Mapping[str, Need], shelves: Shelves, edition: int) -> tuple[Finding, ...]:
    """One caution for every article that is short, for an order that is only asked about: what is announced
    says from which day on it suffices. Nothing is looked for instead; who takes the order is told that."""
    lacking = shelves.lacks({item: need.pieces for item, need in needs.items()})
    return tuple(
        _short(needs[item], missing, shelves, edition, "caution")
        for item, missing in lacking.items()
    )


def _said(
    need: Need,
    missing: int,
    shelves: Shelves,
    lacking: Mapping[str, int],
    document: Mapping[str, Value],
    edition: Edition,
) -> Finding:
    finding = _short(need, missing, shelves, edition.number, "block")
    offers = [instead(document, edition, at) for at in need.at]
    singles = [
        option
        for option in _nearest(each for offer in offers for each in offer.single)
        if _serves(option, need.item, shelves, lacking)
    ]
    sets = _nearest(each for offer in offers for each in offer.sets)
    swapped = _with_another_hub(sets, singles, need.item, shelves, lacking)
    return replace(finding, try_=_by_place(singles), together=swapped)


def _nearest(options: Iterable[Option]) -> list[Option]:
    """The options, the nearest to what was ordered first; what is as near stays in its order."""
    return sorted(options, key=lambda option: option.nearness)


def _short(need: Need, missing: int, shelves: Shelves, edition: int, severity: Severity) -> Finding:
    """What is short, and from which day on the announced deliveries make up for it."""
    coming = shelves.coming.get(need.item, ())
    parts = f"{need.build} to build" + (f" and {need.spare} spare" if need.spare else "")
    free = shelves.free.get(need.item)
    there = f"{max(free, 0)} free" if free is not None else "never counted here"
    when = ", ".join(f"{count} on {written_day(day)}" for day, count in coming[:MOST_ARRIVALS])
    suffices = _suffices_on(coming, missing)
    return stocked(
        "stock.short",
        severity,
        need.at[0],
        f"{need.item} is short by {missing}: {parts}, {there}. "
        + (f"Expected: {when}." if when else "No delivery is announced.")
        + (
            f" Enough from {written_day(suffices)} on."
            if suffices and severity == "caution"
            else ""
        ),
        edition=edition,
        have={
            "item": need.item,
            "free": max(free or 0, 0),
            "expected": [{"on": day, "pieces": count} for day, count in coming[:MOST_ARRIVALS]],
        },
        need={"pieces": need.pieces, "build": need.build, "spare": need.spare, "short": missing},
        also=need.at[1:],
    )


def _suffices_on(coming: Iterable[tuple[str, int]], missing: int) -> str | None:
    """The day by which so many pieces have come; None where too few are announced.

    >>> _suffices_on([("2031-05-12", 5), ("2031-05-15", 20)], 8)
    '2031-05-15'
    """
    for day, count in coming:
        missing -= count
        if missing <= 0:
            return day
    return None


def _by_place(singles: Iterable[Option]) -> tuple[Change, ...]:
    """Single changes by their place, the place of the nearest first."""
    by_place: dict[str, list[Value]] = {}
    for option in singles:
        at, value = option.changes[0]
        values = by_place.setdefault(at, [])
        if value not in values and len(values) < MOST_VALUES:
            values.append(value)
    return tuple(Change(at, tuple(values)) for at, values in by_place.items())


def _with_another_hub(
    sets: Iterable[Option],
    singles: Iterable[Option],
    item: str,
    shelves: Shelves,
    lacking: Mapping[str, int],
) -> tuple[Mapping[str, Value], ...]:
    """A few sets, each with another hub: the nearest one with it, unless the hub alone is nearer."""
    alone = {str(option.changes[0]): option.nearness for option in singles}
    found: dict[str, Mapping[str, Value]] = {}
    for option in sets:
        hub = str(option.changes[0])
        if hub in found or (hub in alone and alone[hub] <= option.nearness):
            continue
        if _serves(option, item, shelves, lacking):
            found[hub] = dict(option.changes)
            if len(found) == MOST_SETS:
                break
    return tuple(found.values())


def _serves(option: Option, item: str, shelves: Shelves, lacking: Mapping[str, int]) -> bool:
    """Whether the article suffices after the changes and nothing else becomes short."""
    after = shelves.lacks(option.takes)
    return item not in after and all(count <= lacking.get(each, 0) for each, count in after.items())


def written_day(day: str) -> str:
    """A day as people write it.

    >>> written_day("2031-05-15")
    '15 May 2031'
    """
    return date.fromisoformat(day).strftime("%-d %B %Y")
