"""Tyre and air: width, bead, tubes, pressure, valve, tape."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.catalog.parts import Rim
from buildsheet.orders.posted import SAME, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.units import psi


def bead_seat(wheel: PostedWheel) -> Iterator[Raised]:
    """Tyre and rim have one bead seat diameter, where the order states the tyre's."""
    rim, tyre_mm = wheel.rim, wheel.use.whole("tyre_bead_seat_mm")
    if rim is not None and tyre_mm is not None and tyre_mm != rim.bead_seat_mm:
        yield wheel.found(
            "tyre.bead-seat",
            "block",
            "rim",
            f"The tyre is made for {tyre_mm} mm, rim {rim.code} has {rim.bead_seat_mm} mm. "
            "Take a rim or a tyre of the other's size.",
            have={"tyre_mm": tyre_mm},
            need={"tyre_mm": rim.bead_seat_mm},
            also=("/use/tyre_bead_seat_mm",),
            ways=("rim",),
        )


def width(wheel: PostedWheel) -> Iterator[Raised]:
    """The tyre lies in the rim's own table, and is wide enough where there are no hooks."""
    rim, tyre_mm = wheel.rim, wheel.use.number("tyre_width_mm")
    if rim is None or tyre_mm is None:
        return
    if rim.tyre_min_mm is None or rim.tyre_max_mm is None:
        yield wheel.unknown("rim", rim, "tyre_min_mm and tyre_max_mm", "whether the tyre stays on")
    elif not rim.tyre_min_mm - SAME <= tyre_mm <= rim.tyre_max_mm + SAME:
        yield wheel.found(
            "tyre.width",
            "block",
            "rim",
            f"Tyre {tyre_mm:g} mm is outside what rim {rim.code} is released for, "
            f"{rim.tyre_min_mm:g} to {rim.tyre_max_mm:g} mm. Take another tyre or rim.",
            have={"tyre_mm": tyre_mm},
            need={"tyre_mm": [rim.tyre_min_mm, rim.tyre_max_mm]},
            also=("/use/tyre_width_mm",),
            ways=("rim", "/use/tyre_width_mm"),
        )
    least_mm = rim.inner_width_mm + wheel.house.tyre.hookless_tyre_over_rim_mm
    if rim.bead == "hookless" and tyre_mm < least_mm - SAME:
        yield wheel.found(
            "tyre.hookless",
            "block",
            "rim",
            f"Rim {rim.code} has no hooks and is {rim.inner_width_mm:g} mm wide inside: tyre "
            f"{tyre_mm:g} mm is not accepted, from {least_mm:g} mm.",
            have={"tyre_mm": tyre_mm},
            need={"tyre_mm": {"at_least": least_mm}},
            also=("/use/tyre_width_mm",),
            ways=("rim", "/use/tyre_width_mm"),
        )


def system(wheel: PostedWheel) -> Iterator[Raised]:
    """Glued, tubeless or with a tube: the rim is made for it."""
    rim, wanted = wheel.rim, wheel.use.word("tyre_system")
    if rim is None or wanted is None:
        return
    if (rim.bead == "tubular") != (wanted == "tubular"):
        made = "glued tyres" if rim.bead == "tubular" else "tyres with beads"
        yield wheel.found(
            "tyre.tubular",
            "block",
            "rim",
            f"Rim {rim.code} is for {made}, the order says {wanted}. Take another rim or tyre.",
            have={"rim": rim.bead, "tyre": wanted},
            need={"rim": "tubular" if wanted == "tubular" else "hooked or hookless"},
            also=("/use/tyre_system",),
            ways=("rim", "/use/tyre_system"),
        )
    elif wanted == "tubeless" and not rim.tubeless:
        yield wheel.found(
            "tyre.system",
            "block",
            "rim",
            f"Rim {rim.code} is not made for tubeless tyres. Take another rim, or tubes.",
            have={"tubeless": False},
            need={"tubeless": True},
            also=("/use/tyre_system",),
            ways=("rim", "/use/tyre_system"),
        )
    elif wanted == "clincher" and rim.bead == "hookless":
        cap_bar = wheel.house.tyre.tube_on_hookless_bar
        yield wheel.found(
            "tyre.tube-on-hookless",
            "approval",
            "rim",
            f"Rim {rim.code} has no hooks and the order says tyres with tubes: only a tyre released "
            f"for straight sides, never above {cap_bar:g} bar. Go tubeless, or have it released.",
            have={"rim": rim.bead, "tyre": wanted},
            need={"tyre": "tubeless", "never_above_bar": cap_bar},
            also=("/use/tyre_system",),
            ways=("/use/tyre_system", "rim"),
        )


def limit_bar(
    rim: Rim, tyre_mm: float, *, tube: bool, cap_bar: float, tube_cap_bar: float
) -> float | None:
    """The highest pressure in bar: the rim's row for this tyre, less where there are no hooks.

    None where the rim has no row that reaches down to this tyre.
    """
    rows = [each for each in rim.pressure_limits or () if each.tyre_mm <= tyre_mm + SAME]
    if not rows:
        return None
    bar = min(each.limit_bar for each in rows)
    if rim.bead == "hookless":
        bar = min(bar, cap_bar, tube_cap_bar if tube else cap_bar)
    return bar


def pressure(wheel: PostedWheel) -> Iterator[Raised]:
    """The limit that goes on sheet and label."""
    rim, tyre_mm, house = wheel.rim, wheel.use.number("tyre_width_mm"), wheel.house.tyre
    if rim is None or tyre_mm is None:
        return
    if rim.pressure_limits is None:
        yield wheel.unknown("rim", rim, "pressure_limits", "how far the tyre may be pumped")
        return
    if rim.tyre_min_mm is not None and tyre_mm < rim.tyre_min_mm - SAME:
        return
    bar = limit_bar(
        rim,
        tyre_mm,
        tube=wheel.use.word("tyre_system") == "clincher",
        cap_bar=house.hookless_cap_bar,
        tube_cap_bar=house.tube_on_hookless_bar,
    )
    if bar is None:
        yield wheel.unknown(
            "rim", rim, f"pressure limit for a {tyre_mm:g} mm tyre", "how far it may be pumped"
        )
        return
    yield wheel.found(
        "tyre.pressure",
        "note",
        "rim",
        f"Never above {bar:g} bar ({psi(bar):.0f} psi) with a {tyre_mm:g} mm tyre on rim {rim.code}.",
        have={"tyre_mm": tyre_mm},
        need={"bar": {"at_most": bar}},
        also=("/use/tyre_width_mm",),
    )


def valve_mm(wheel: PostedWheel) -> int | None:
    """The shortest stocked valve that shows through the rim; None where none does."""
    if wheel.rim is None:
        return None
    house = wheel.house.tyre
    tubeless = wheel.use.word("tyre_system") == "tubeless"
    over_mm = house.tubeless_stem_over_depth_mm if tubeless else house.tube_stem_over_depth_mm
    stem_mm = wheel.rim.depth_mm + over_mm
    return min((each for each in house.valve_lengths_mm if each >= stem_mm - SAME), default=None)


def tape_mm(wheel: PostedWheel) -> int | None:
    """The narrowest stocked tape that covers the rim's bed; None where none fits."""
    if wheel.rim is None:
        return None
    house = wheel.house.tyre
    low, high = (wheel.rim.inner_width_mm + over_mm for over_mm in house.tape_over_inner_mm)
    fits = (each for each in house.tape_widths_mm if low - SAME <= each <= high + SAME)
    return min(fits, default=None)


def small_parts(wheel: PostedWheel) -> Iterator[Raised]:
    """A stocked valve is long enough, a stocked tape wide enough."""
    rim, tyre = wheel.rim, wheel.use.word("tyre_system")
    if rim is None or tyre is None or tyre == "tubular":
        return
    if valve_mm(wheel) is None:
        yield wheel.found(
            "tyre.valve-length",
            "caution",
            "rim",
            f"No stocked valve shows through rim {rim.code}, {rim.depth_mm:g} mm deep; the longest "
            f"has {max(wheel.house.tyre.valve_lengths_mm)} mm. Order a longer one or an extender.",
            have={"depth_mm": rim.depth_mm},
            need={"valve_lengths_mm": list(wheel.house.tyre.valve_lengths_mm)},
            ways=("rim",),
        )
    if rim.tubeless and tape_mm(wheel) is None:
        low, high = wheel.house.tyre.tape_over_inner_mm
        yield wheel.found(
            "tyre.tape-width",
            "caution",
            "rim",
            f"No stocked tape covers rim {rim.code}: {rim.inner_width_mm + low:g} to "
            f"{rim.inner_width_mm + high:g} mm wanted. Order tape of that width.",
            have={"inner_width_mm": rim.inner_width_mm},
            need={"tape_mm": [rim.inner_width_mm + low, rim.inner_width_mm + high]},
            ways=("rim",),
        )


CHECKS = (bead_seat, width, system, pressure, small_parts)
