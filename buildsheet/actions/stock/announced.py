"""What came in and was booked against a delivery that had been announced: said, with the way round."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from buildsheet.actions.stock.documents import MovementDocument
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value, pointer
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.shortage import still_to_come, written_day
from buildsheet.storage.stock import Level, Movement


def booked_against(
    lines: Sequence[MovementDocument],
    movements: Sequence[Movement],
    after: Mapping[str, Level],
    announced: Mapping[str, Sequence[tuple[str, int]]],
    edition: Edition,
) -> Iterator[Finding]:
    """A note for every article of which less is expected because some came in.

    ``movements`` are what the ``lines`` made, one each; ``after`` are the sums with them in; ``announced``
    is what was ever announced: item -> (day, pieces).
    """
    arrived: dict[str, int] = {}
    first: dict[str, int] = {}
    for place, (line, movement) in enumerate(zip(lines, movements, strict=True)):
        if line.kind == "received" and movement.expected_change:
            arrived[line.part] = arrived.get(line.part, 0) - movement.expected_change
            first.setdefault(line.part, place)
    for item, pieces in sorted(arrived.items()):
        left = after[item].expected
        coming = still_to_come(announced.get(item, ()), left + pieces)
        yield _note(item, pointer("movements", first[item]), pieces, left, coming, edition)


def _note(
    item: str,
    at: str,
    pieces: int,
    left: int,
    coming: Sequence[tuple[str, int]],
    edition: Edition,
) -> Finding:
    came = [*_earliest(coming, pieces)]
    days: list[Value] = [{"on": day, "pieces": count} for day, count in came]
    what = " and ".join(f"{count} for {written_day(day)}" for day, count in came)
    to_come = f"{left} of it are still to come" if left else "nothing more is expected"
    return stocked(
        "stock.from-announced",
        "note",
        at,
        f"{item}: {pieces} that came in count against what was announced ({what}); {to_come}. If it was "
        f"another delivery, announce {pieces} again for that day, and book the next one as not announced: "
        '"announced": false, at a terminal --unannounced.',
        edition=edition.number,
        have={"arrived": days, "expected": left},
    )


def _earliest(coming: Sequence[tuple[str, int]], pieces: int) -> Iterator[tuple[str, int]]:
    """So many pieces of the deliveries, the earliest first.

    >>> [*_earliest([("2031-05-12", 5), ("2031-05-15", 20)], 8)]
    [('2031-05-12', 5), ('2031-05-15', 3)]
    """
    for day, count in coming:
        if pieces <= 0:
            return
        yield day, min(count, pieces)
        pieces -= count
