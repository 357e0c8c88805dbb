"""What becomes of orders under the lock: what is free is asked in the section that sets it aside.

Since they were judged another process may have taken the same order, or the last part, or published an
edition that the judgement knows nothing of. Orders that wait together are decided one after the other, as
if each had been alone; only reading and writing is done once for all of them.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence

from buildsheet.actions.editions import in_force
from buildsheet.actions.intake.asked import Asked
from buildsheet.actions.intake.earlier import Took, earlier, keep_key
from buildsheet.actions.intake.enter import enter
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import stamp
from buildsheet.orders.reservation.shortage import Shelves
from buildsheet.storage import orders
from buildsheet.storage.database import Section

Became = Took | Shelves | None
"""An answer; or the shelves where something is short; or None where the order has to be judged again."""


def take_together(section: Section, asked: Sequence[Asked]) -> list[Became]:
    """What becomes of each order, in their order."""
    moment = asked[0].workshop.clock()
    running = in_force(section, moment)
    holds.sweep(section, moment)
    left = holds.free(section, {item for each in asked for item in each.judged.wheels.wanted})
    keeps_stock, left = left is not None, left or {}
    known = orders.taken(section, {each.order.number for each in asked})
    became: list[Became] = [None] * len(asked)
    first, late = _one_of_each(asked)
    taken: list[int] = []
    short: list[int] = []
    for place in first:
        each = asked[place]
        before = _before(section, each) if each.key or each.name in known else None
        if before is not None:
            keep_key(section, each.order, each.key, before, stamp(moment))
            became[place] = before
        elif running is None or running.digest != each.judged.edition.digest:
            continue
        elif keeps_stock and holds.lacking(each.judged.wheels.wanted, left):
            short.append(place)
        else:
            taken.append(place)
            for item, pieces in each.judged.wheels.wanted.items():
                left[item] = left.get(item, 0) - pieces
    if taken:
        entered = enter(section, [asked[place] for place in taken], moment, keeps_stock=keeps_stock)
        for place, took in zip(taken, entered, strict=True):
            became[place] = took
    if short:
        # After the others were entered: what they set aside is no way out any more.
        shelves = holds.shelves(section)
        for place in short:
            became[place] = shelves
    if late:
        for place, later in zip(
            late, take_together(section, [asked[place] for place in late]), strict=True
        ):
            became[place] = later
    return became


def _one_of_each(asked: Sequence[Asked]) -> tuple[list[int], list[int]]:
    """The places of orders that share neither name nor key with an earlier one, and of the others."""
    claimed: set[Hashable] = set()
    first, late = list[int](), list[int]()
    for place, each in enumerate(asked):
        claims: Iterable[Hashable] = each.claims
        (late if claimed.intersection(claims) else first).append(place)
        claimed.update(claims)
    return first, late


def _before(section: Section, each: Asked) -> Took | None:
    return earlier(section, each.order, each.digest, each.key, each.judged.edition.number)
