"""Stock that a new edition leaves lying: pieces of parts that no buildable wheel takes any more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.stock import StockLine
from buildsheet.space.standing.used import Used


@dataclass(frozen=True, slots=True)
class Stranded:
    """One place on the shelves. ``state`` is the part's in the new edition, '' where it is dropped;
    ``before`` True where no wheel of the old edition took it either."""

    item: str
    quantity: int
    bin: str
    state: str
    before: bool

    @property
    def why(self) -> str:
        """In words.

        >>> Stranded("KR1/28", 20, "H06-28", "active", False).why
        'no buildable wheel takes it'
        """
        if not self.state:
            return "the part is dropped"
        return (
            "no buildable wheel takes it" if self.state == "active" else f"the part is {self.state}"
        )


def stranded(
    stock: Iterable[StockLine], old: Used, new: Used, edition: Edition
) -> tuple[Stranded, ...]:
    """The shelves that the new edition (``edition``, with what its wheels take in ``new``) has no wheel
    for, newly stranded ones first, in the order of the list."""
    parts: Mapping[str, str] = {
        code: part.state for kind in KINDS for code, part in getattr(edition, kind).items()
    }
    found = list(_stranded(stock, old, new, parts))
    return tuple(sorted(found, key=lambda each: each.before))


def _stranded(
    stock: Iterable[StockLine], old: Used, new: Used, states: Mapping[str, str]
) -> Iterator[Stranded]:
    for line in stock:
        # A drilled rim (``OR45D/24/OR45D-24F-X``) is of use as long as its rim with these holes is.
        variant = line.variant.partition("/")[0]
        if line.quantity > 0 and not new.takes(line.part, variant):
            state = states.get(line.part, "")
            before = not old.takes(line.part, variant)
            yield Stranded(line.item, line.quantity, line.bin, state, before)
