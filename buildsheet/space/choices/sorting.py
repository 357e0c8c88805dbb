"""Which checks decide what in one kind of order: alone, about one wheel, or about what goes together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from buildsheet.space.choices.columns import Columns
from buildsheet.space.choices.part import Frame
from buildsheet.space.choices.places import positions_in
from buildsheet.space.choices.verdicts import places_read
from buildsheet.space.questions import Asking, RuleAsking

Bearing = Literal["order", "wheel", "together"]


@dataclass(frozen=True, slots=True, eq=False)
class Sorted:
    """An asking by what its members are in an order that is still being put together.

    ``wheels`` are the builds it reads of, ``open`` the places with a list, ``fixed`` those where the
    order says, or leaves out, one thing.
    """

    asking: Asking
    wheels: tuple[Columns, ...]
    open: tuple[str, ...]
    fixed: tuple[str, ...]

    @property
    def decided(self) -> bool:
        """Whether the kind of order alone decides it, for every wheel there is."""
        return self.bearing == "wheel" and {*self.fixed} <= {"/kind", "/use/brake"}

    @property
    def bearing(self) -> Bearing:
        """What it is about: the order as it stands, one wheel's build, or several choices together."""
        if self.open or len(self.wheels) > 1:
            return "together"
        return "wheel" if self.wheels else "order"


def sort_askings(
    askings: Iterable[Asking], frame: Frame, columns: Iterable[Columns], listed: frozenset[str]
) -> tuple[Sorted, ...]:
    """Every asking that can close something in this frame, sorted; ``listed`` are the open lists.

    Checks of builds alone are left out: builds that fail them are not among the sound ones.
    """
    present = positions_in(frame.kind)
    wheels = tuple(each for each in columns if each.position in present)
    every = (
        _sorted(asking, wheels, listed)
        for asking in askings
        if asking.question.position in (None, *present)
    )
    return tuple(
        each
        for each in every
        if each.open or each.fixed or len(each.wheels) > 1 or isinstance(each.asking, RuleAsking)
    )


def _sorted(asking: Asking, wheels: tuple[Columns, ...], listed: frozenset[str]) -> Sorted:
    read = tuple(each for each in wheels if places_read(asking, each))
    built = {at for each in read for at in places_read(asking, each)}
    beside = tuple(at for at in asking.reads if at not in built)
    return Sorted(
        asking,
        read,
        tuple(at for at in beside if at in listed),
        tuple(at for at in beside if at not in listed),
    )
