"""Everything that publishing an edition would do, put together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.stock import StockLine
from buildsheet.space.builds import POSITIONS, builds_of
from buildsheet.space.drilling import DrillingNeed, drilling_needs
from buildsheet.space.impact.configurations import Configurations, WheelChange, configurations
from buildsheet.space.impact.content import changed_content
from buildsheet.space.impact.decals import MissingDecal, missing_decals
from buildsheet.space.impact.examples import Example, nearest
from buildsheet.space.impact.lengths import LengthChange, length_changes
from buildsheet.space.impact.orders import OpenOrder, Touched, touched
from buildsheet.space.impact.proposals import Proposed, proposed
from buildsheet.space.impact.shelves import Stranded, stranded
from buildsheet.space.remembered import remembered
from buildsheet.space.standing.contradictions import Contradiction, contradictions
from buildsheet.space.standing.parts import DeadPart, OnlyChoice, dead_parts, only_choices
from buildsheet.space.standing.rules import RuleStanding, idle_rules
from buildsheet.space.standing.used import used
from buildsheet.space.wheels import passing

MOST_EXAMPLES: Final = 5


@dataclass(frozen=True, slots=True)
class Impact:
    """What differs between an edition and the next.

    ``examples`` by ``appear``, ``disappear``, ``change``: wheels nearest to what is on order. ``dead``,
    ``only``, ``idle`` (rules), ``contradictions`` and ``missing_decals`` hold what the new edition
    brings; ``revived``, ``freed`` and ``woken`` what it takes away. ``drilling`` are kinds of drilled
    rim that need a program they did not need before, or whose programs nobody uses any more.
    """

    old: int
    new: int
    configurations: Configurations
    examples: Mapping[str, tuple[Example, ...]]
    orders: tuple[Proposed, ...]
    open_orders: int
    dead: tuple[DeadPart, ...]
    revived: tuple[DeadPart, ...]
    only: tuple[OnlyChoice, ...]
    freed: tuple[OnlyChoice, ...]
    idle: tuple[RuleStanding, ...]
    woken: tuple[RuleStanding, ...]
    contradictions: tuple[Contradiction, ...]
    lengths: tuple[LengthChange, ...]
    drilling: tuple[DrillingNeed, ...]
    missing_decals: tuple[MissingDecal, ...]
    stranded: tuple[Stranded, ...]

    @property
    def nothing(self) -> bool:
        """True where publishing would alter nothing that can be built, stocked or on order."""
        told = (self.orders, self.dead, self.revived, self.only, self.freed, self.lengths)
        more = (self.drilling, self.missing_decals, self.configurations.wheels, *self._of_rules)
        return not any((*told, *more)) and all(each.before for each in self.stranded)

    @property
    def _of_rules(self) -> tuple[tuple[object, ...], ...]:
        return self.idle, self.woken, self.contradictions


def impact(
    old: Edition,
    new: Edition,
    *,
    orders: Sequence[OpenOrder] = (),
    stock: Sequence[StockLine] = (),
) -> Impact:
    """What publishing ``new`` after ``old`` would do. Exact: every buildable wheel of both is looked at;
    but only what changed is computed or judged again."""
    compared = configurations(old, new)
    changed = changed_content(old, new)
    hit = touched(orders, old, new, changed)
    old_used, new_used = used(old), used(new)
    old_dead, new_dead = set(dead_parts(old, old_used)), set(dead_parts(new, new_used))
    old_only, new_only = set(only_choices(old)), set(only_choices(new))
    old_idle, new_idle = set(idle_rules(old)), set(idle_rules(new))
    left = _rims_with_hubs(new)
    return Impact(
        old=old.number,
        new=new.number,
        configurations=compared,
        examples=_examples(compared.wheels, orders),
        orders=tuple(proposed(each, gone=_is_gone(each, left)) for each in hit),
        open_orders=len(orders),
        dead=tuple(sorted(new_dead - old_dead)),
        revived=tuple(sorted(old_dead - new_dead)),
        only=tuple(sorted(new_only - old_only)),
        freed=tuple(sorted(old_only - new_only)),
        idle=tuple(sorted(new_idle - old_idle)),
        woken=tuple(sorted(old_idle - new_idle)),
        contradictions=tuple(sorted(set(contradictions(new)) - set(contradictions(old)))),
        lengths=length_changes(old, new),
        drilling=_drilling(old, new),
        missing_decals=tuple(sorted(set(missing_decals(new)) - set(missing_decals(old)))),
        stranded=stranded(stock, old_used, new_used, new),
    )


def _examples(
    wheels: Sequence[WheelChange], orders: Sequence[OpenOrder]
) -> dict[str, tuple[Example, ...]]:
    kinds = {
        "appear": [each for each in wheels if each.appear],
        "disappear": [each for each in wheels if each.disappear],
        "change": [each for each in wheels if each.changed],
    }
    return {kind: nearest(some, orders, MOST_EXAMPLES) for kind, some in kinds.items()}


Pair = tuple[str, str, int, str]
"""Position, rim, holes, hub."""


def _rims_with_hubs(edition: Edition) -> frozenset[Pair]:
    builds = builds_of(edition)
    passes = passing(builds)
    return frozenset(
        (position, build.rim, build.holes, build.hub)
        for position in POSITIONS
        for build, sound in zip(builds[position], passes[position], strict=True)
        if sound
    )


def _is_gone(touched: Touched, left: frozenset[Pair]) -> bool:
    """Whether some wheel of the order keeps neither its rim and hub in any other way."""
    document = touched.order.document
    for position in POSITIONS:
        wheel = document.get(position)
        if isinstance(wheel, Mapping):
            pair = (position, wheel.get("rim"), wheel.get("holes"), wheel.get("hub"))
            if pair not in left:
                return True
    return False


def _drilling(old: Edition, new: Edition) -> tuple[DrillingNeed, ...]:
    before = {each.of: each for each in _drilling_needs(old)}
    return tuple(
        each
        for each in _drilling_needs(new)
        if (each.of not in before and (each.builds or each.unserved))
        or (each.of in before and _needs_more(before[each.of], each))
    )


@remembered
def _drilling_needs(edition: Edition) -> tuple[DrillingNeed, ...]:
    return drilling_needs(edition)


def _needs_more(old: DrillingNeed, new: DrillingNeed) -> bool:
    return new.unserved > old.unserved or bool(set(new.unused) - set(old.unused))
