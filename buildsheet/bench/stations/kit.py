"""The kit check: what lies in the box against the pick list, piece by piece."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Annotated, Final

from pydantic import Field

from buildsheet.bench.codes import found
from buildsheet.bench.document import Member
from buildsheet.bench.stations.station import Label, Stand, Station, StepDocument
from buildsheet.findings import Finding


class Scanned(Member):
    """One label that was scanned: the part as the pick list names it, how many, and from which batch."""

    part: Label
    count: Annotated[int, Field(ge=1, le=1000)]
    batch: Label | None = None


class Kit(StepDocument):
    """Everything in the box. ``bagged_apart``: left and right spokes in marked bags of their own."""

    scanned: Annotated[tuple[Scanned, ...], Field(max_length=60)]
    bagged_apart: bool | None = None


def judge(stand: Stand, step: Kit) -> tuple[Finding, ...]:
    """What is missing, what is too much, what does not belong to this wheel."""
    return (*_counts(stand, step), *_batches(step), *_bags(stand, step))


def _counts(stand: Stand, step: Kit) -> Iterator[Finding]:
    wanted = {pick.part: pick.count + pick.spare for pick in stand.plan.pick}
    there: Counter[str] = Counter()
    for each in step.scanned:
        there[each.part] += each.count
    for part, count in wanted.items():
        if there[part] != count:
            more = "none" if not there[part] else str(there[part])
            yield found(
                "bench.kit",
                "block",
                "/scanned",
                f"{part}: {count} wanted, spares counted; {more} scanned. Count, then fetch or return.",
                have={"part": part, "count": there[part]},
                need={"count": count},
            )
    for place, each in enumerate(step.scanned):
        if each.part not in wanted:
            yield found(
                "bench.kit",
                "block",
                f"/scanned/{place}/part",
                f"{each.part} does not belong to this wheel. Take it out of the box.",
                have={"part": each.part},
                need={"parts": [*wanted]},
            )


def _batches(step: Kit) -> Iterator[Finding]:
    by_part: dict[str, set[str]] = {}
    for each in step.scanned:
        if each.batch:
            by_part.setdefault(each.part, set()).add(each.batch)
    for part, batches in by_part.items():
        if len(batches) > 1:
            yield found(
                "bench.batches",
                "caution",
                "/scanned",
                f"{part} comes from batches {' and '.join(sorted(batches))}: one batch is wanted.",
                have={"part": part, "batches": [*sorted(batches)]},
            )


def _bags(stand: Stand, step: Kit) -> Iterator[Finding]:
    left, right = stand.plan.spokes.left, stand.plan.spokes.right
    if (left.type, left.stock_mm) != (right.type, right.stock_mm) and not step.bagged_apart:
        yield found(
            "bench.bags",
            "block",
            "/bagged_apart",
            f"Left takes {left.type}/{left.stock_mm}, right {right.type}/{right.stock_mm}: say that they "
            "lie in marked bags of their own.",
            have={"bagged_apart": step.bagged_apart},
            need={"bagged_apart": True},
        )


STATION: Final = Station(
    name="kit",
    says="Scan everything in the box; both lengths, in bags of their own.",
    document=Kit,
    judge=judge,
    needs=(),
    move="kit",
)
