"""Decals: size by the rim's depth, colours that are made, both hands, reflectors, the brake track."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Decal
from buildsheet.findings import Value
from buildsheet.orders.part_states import closed_in_words
from buildsheet.orders.posted import SAME, Posted, PostedWheel
from buildsheet.orders.raised import Raised

HANDS: Final[tuple[Literal["left"], Literal["right"]]] = ("left", "right")


def decal_size(wheel: PostedWheel) -> str | None:
    """The size that this wheel's decals will have: as ordered, else as the rim wants it."""
    return wheel.order.finish.word("decal_size") or (wheel.rim.decal_size if wheel.rim else None)


def decal_colour(wheel: PostedWheel) -> str | None:
    """The colour of this wheel's decals."""
    finish = wheel.order.finish
    rear = finish.word("rear_decal_colour") if wheel.position == "rear" else None
    return rear or finish.word("decal_colour")


def colour_place(wheel: PostedWheel) -> str:
    """Where that colour stands in the order."""
    own = wheel.position == "rear" and wheel.order.finish.has("rear_decal_colour")
    return "/finish/rear_decal_colour" if own else "/finish/decal_colour"


def decals(wheel: PostedWheel) -> tuple[Decal, ...]:
    """The left and the right decal set of this wheel, as far as they are made."""
    size, colour = decal_size(wheel), decal_colour(wheel)
    if size is None or colour is None:
        return ()
    made = (_open_decal(wheel.edition, colour, size, hand) for hand in HANDS)
    return tuple(each for each in made if each is not None)


def _open_decal(edition: Edition, colour: str, size: str, hand: str) -> Decal | None:
    decal = edition.decal(colour, size, hand)
    return decal if decal is not None and decal.state == "active" else None


def sizes(order: Posted) -> Iterator[Raised]:
    """The ordered size suits every rim's depth; without one, the rim's own size does."""
    ordered = order.finish.word("decal_size")
    off: list[PostedWheel] = []
    for wheel in order.wheels:
        rim = wheel.rim
        if rim is None:
            continue
        if rim.decal_size is None:
            yield wheel.unknown("rim", rim, "decal_size", "which decals cover it")
            continue
        if ordered is not None and ordered != rim.decal_size:
            off.append(wheel)
        elif ordered is None and not _covers(wheel, rim.decal_size, rim.depth_mm):
            yield wheel.found(
                "finish.decal-size",
                "block",
                "rim",
                f"Rim {rim.code} asks for decals of size {rim.decal_size}, which do not cover "
                f"{rim.depth_mm:g} mm of depth. The catalog contradicts the house file: have it mended.",
                have={"size": rim.decal_size, "depth_mm": rim.depth_mm},
                need=_bands(order),
                ways=("rim",),
            )
    if off and ordered is not None:
        rims = " and ".join(
            f"{rim.code} ({rim.depth_mm:g} mm, size {rim.decal_size})"
            for rim in {each.rim.code: each.rim for each in off if each.rim is not None}.values()
        )
        sizes_of_rims = {each.rim.decal_size for each in off if each.rim is not None}
        wanted: list[Value] = [*sorted(size for size in sizes_of_rims if size is not None)]
        yield order.found(
            "finish.decal-size",
            "block",
            "/finish/decal_size",
            f"Size {ordered} decals do not suit {rims}. Leave the size out: the rim decides.",
            have={"size": ordered},
            need={"size": wanted},
            also=tuple(each.place("rim") for each in off),
            ways=("/finish/decal_size", *(each.place("rim") for each in off)),
        )


def _covers(wheel: PostedWheel, size: Literal["S", "M", "L"], depth_mm: float) -> bool:
    band = wheel.house.finish.size_depths_mm.get(size)
    return band is not None and band[0] - SAME <= depth_mm <= band[1] + SAME


def _bands(order: Posted) -> dict[str, Value]:
    return {size: list(band) for size, band in order.house.finish.size_depths_mm.items()}


def colours(order: Posted) -> Iterator[Raised]:
    """Every colour is made in the size that its wheel takes, for both flanks."""
    asked: dict[str, list[tuple[str, str]]] = {}
    for wheel in order.wheels:
        colour, size = decal_colour(wheel), decal_size(wheel)
        if colour is not None and size is not None:
            pairs = asked.setdefault(colour_place(wheel), [])
            if (colour, size) not in pairs:
                pairs.append((colour, size))
    for at, pairs in asked.items():
        yield from _colour(order, at, pairs)


def _colour(order: Posted, at: str, pairs: list[tuple[str, str]]) -> Iterator[Raised]:
    colour = pairs[0][0]
    made = {
        size: [hand for hand in HANDS if _open_decal(order.edition, colour, size, hand)]
        for _, size in pairs
    }
    lacking = [size for size, hands in made.items() if not hands]
    if lacking:
        of_colour = [each for each in order.edition.decals.values() if each.colour == colour]
        closed = closed_in_words(each for each in of_colour if each.size in lacking)
        sizes_made: list[Value] = [
            *sorted({each.size for each in of_colour if each.state == "active"})
        ]
        sizes_named = " and ".join(map(str, sizes_made)) or "none"
        yield order.found(
            "finish.colour",
            "block",
            at,
            f"{colour} decals are not made in size {' and '.join(lacking)} in edition "
            f"{order.edition.number}, only in {sizes_named}.{closed} Take another colour.",
            have={"colour": colour, "size": [*lacking]},
            need={"sizes_made": sizes_made},
            also=tuple(wheel.place("rim") for wheel in order.wheels),
            ways=(at, "/finish/decal_size"),
        )
    one_handed = [size for size, hands in made.items() if len(hands) == 1]
    if one_handed:
        size = one_handed[0]
        yield order.found(
            "finish.hand",
            "block",
            at,
            f"Of {colour} in size {size} only the {made[size][0]} set is made; a rim takes a left "
            "and a right one. Take another colour.",
            have={"colour": colour, "size": size, "hands": [*made[size]]},
            need={"hands": list(HANDS)},
            ways=(at, "/finish/decal_size"),
        )


def reflectors(order: Posted) -> Iterator[Raised]:
    """Decals that shine are no reflectors in the sense of the law, unless they are certified."""
    market = order.house.markets.get(order.draft.word("market") or "")
    if market is None or not market.reflectors:
        return
    shining = [decal for wheel in order.wheels for decal in decals(wheel) if decal.reflective]
    if not shining or all(each.certified_reflector for each in shining):
        return
    yield order.found(
        "finish.reflector",
        "caution",
        "/finish/decal_colour",
        f"Reflective decals do not replace the side reflectors that market "
        f"{order.draft.word('market')} requires: {market.reflectors}",
        have={"certified": False},
        need={"reflectors": market.reflectors},
        also=("/market",),
    )


def set_colour(order: Posted) -> Iterator[Raised]:
    """Front and rear in one colour, unless meant otherwise."""
    if order.pair is None:
        return
    front, rear = (decal_colour(each) for each in order.pair)
    if front is not None and rear is not None and front != rear:
        yield order.found(
            "finish.set-colour",
            "caution",
            "/finish/rear_decal_colour",
            f"Front {front}, rear {rear}: intended? If not, leave the rear colour out.",
            have={"front": front, "rear": rear},
            need={"rear": front},
            also=("/finish/decal_colour",),
            ways=("/finish/rear_decal_colour",),
        )


def track_gap(wheel: PostedWheel) -> Iterator[Raised]:
    """Foil keeps away from a brake track."""
    if wheel.rim is not None and wheel.rim.brake == "rim":
        gap_mm = wheel.house.finish.track_gap_mm
        yield wheel.found(
            "finish.track-gap",
            "note",
            "rim",
            f"No foil within {gap_mm:g} mm of the brake track of rim {wheel.rim.code}.",
            have={"track_mm": wheel.rim.track_mm},
            need={"gap_mm": {"at_least": gap_mm}},
        )


CHECKS = (track_gap,)
ORDER_CHECKS = (sizes, colours, reflectors, set_colour)
