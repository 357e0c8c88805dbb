"""Decals that a rim on offer cannot have, though other rims can."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.catalog.edition import Edition


@dataclass(frozen=True, slots=True, order=True)
class MissingDecal:
    """A colour of the workshop that is not on offer, left and right, in the size of these rims.

    ``hands`` are those that are lacking; a rim whose size nobody states has '' for a size.
    """

    colour: str
    size: str
    hands: tuple[str, ...]
    rims: tuple[str, ...]


def missing_decals(edition: Edition) -> tuple[MissingDecal, ...]:
    """Every colour on offer in some size with the sizes of active rims that lack it, sorted."""
    active = [each for each in edition.decals.values() if each.state == "active"]
    made = {(each.colour, each.size, each.hand) for each in active}
    rims: dict[str, list[str]] = {}
    for code, rim in edition.rims.items():
        if rim.state == "active":
            rims.setdefault(rim.decal_size or "", []).append(code)
    found = []
    for colour in {each.colour for each in active}:
        for size, codes in rims.items():
            hands = tuple(each for each in ("left", "right") if (colour, size, each) not in made)
            if hands:
                found.append(MissingDecal(colour, size, hands, tuple(sorted(codes))))
    return tuple(sorted(found))
