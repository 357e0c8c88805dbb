"""Rim and hub: the right hub for the place, holes in number, split and spacing."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.findings import Value
from buildsheet.orders.posted import PostedWheel
from buildsheet.orders.raised import Raised


def hub_position(wheel: PostedWheel) -> Iterator[Raised]:
    """A front hub in front, a rear hub behind."""
    hub = wheel.hub
    if hub is not None and hub.position != wheel.position:
        yield wheel.found(
            "fit.position",
            "block",
            "hub",
            f"Hub {hub.code} is a {hub.position} hub; this is the {wheel.position} wheel. "
            f"Take a {wheel.position} hub.",
            have={"hub": hub.position},
            need={"hub": wheel.position},
            ways=("hub",),
        )


def hole_count(wheel: PostedWheel) -> Iterator[Raised]:
    """Rim and hub are both made with the ordered number of holes."""
    rim, hub, holes = wheel.rim, wheel.hub, wheel.holes
    if holes is None:
        return
    if rim is not None and holes not in rim.holes:
        yield wheel.found(
            "fit.hole-count",
            "block",
            "holes",
            f"Rim {rim.code} is not drilled {holes}; it is made with {_or(rim.holes)} holes.",
            have={"holes": holes},
            need={"holes": list(rim.holes)},
            also=("rim",),
            ways=("holes", "rim"),
        )
    if hub is not None and holes not in hub.holes:
        drilled = f"Rim {rim.code} is drilled {holes}" if rim else f"{holes} holes are ordered"
        yield wheel.found(
            "fit.hole-count",
            "block",
            "hub",
            f"{drilled}, hub {hub.code} takes {_or(hub.holes)}. Take such a count, or another hub.",
            have={"holes": holes},
            need={"holes": list(hub.holes)},
            also=("rim", "holes"),
            ways=("holes", "hub"),
        )


def side_split(wheel: PostedWheel) -> Iterator[Raised]:
    """One to one on both, or two to one on both, and then a count that three divides."""
    rim, hub, holes = wheel.rim, wheel.hub, wheel.holes
    if rim is None or hub is None:
        return
    if rim.split != hub.split:
        yield wheel.found(
            "fit.side-split",
            "block",
            "hub",
            f"Rim {rim.code} is drilled for spokes {rim.split} by side, hub {hub.code} for "
            f"{hub.split}. Take a hub that shares them out as the rim does.",
            have={"rim": rim.split, "hub": hub.split},
            need={"hub": rim.split},
            also=("rim",),
            ways=("hub", "rim"),
        )
    elif rim.split == "2:1" and holes is not None and holes % 3:
        yield wheel.found(
            "fit.side-split",
            "block",
            "holes",
            f"{holes} holes cannot be shared out two to one; the count must divide by three.",
            have={"holes": holes},
            need={"holes": _divisible_by_three(rim.holes)},
            also=("rim",),
            ways=("holes", "rim"),
        )


def hole_spacing(wheel: PostedWheel) -> Iterator[Raised]:
    """Paired rims need paired hubs."""
    rim, hub = wheel.rim, wheel.hub
    if rim is not None and hub is not None and rim.spacing != hub.spacing:
        yield wheel.found(
            "fit.hole-spacing",
            "block",
            "hub",
            f"The holes of rim {rim.code} are {rim.spacing}, those of hub {hub.code} {hub.spacing}. "
            "Take a hub with the rim's spacing.",
            have={"rim": rim.spacing, "hub": hub.spacing},
            need={"hub": rim.spacing},
            also=("rim",),
            ways=("hub", "rim"),
        )


def _divisible_by_three(holes: tuple[int, ...]) -> list[Value]:
    return [each for each in holes if each % 3 == 0]


def _or(numbers: tuple[int, ...]) -> str:
    """Numbers as a person says them.

    >>> _or((20, 24, 28))
    '20, 24 or 28'
    """
    words = [str(each) for each in numbers]
    return " or ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


CHECKS = (hub_position, hole_count, side_split, hole_spacing)
