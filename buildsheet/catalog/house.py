"""The house's own figures: decisions of the workshop, kept as data in `catalog/house.toml`.

Geometry and safety stand in code; what a workshop may decide differently stands here, one table per
subject. Every figure is bounded; a table that is missing is an error of the file, not a default.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Annotated, Final, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field
from pydantic_core import PydanticCustomError

Share = Annotated[float, Field(gt=0.0, le=1.0)]
Percent = Annotated[float, Field(ge=0.0, le=100.0)]
LengthMm = Annotated[float, Field(ge=-5.0, le=60.0)]
Line = Annotated[
    str,
    Field(
        max_length=200,
        pattern=r"^[^\x00-\x1f\x7f-\x9f]*$",
        description="one line of up to 200 characters",
    ),
]
"""One line of print: no control characters."""


def _in_the_calendar(moment: str) -> str:
    """A moment whose month, day, hour and zone exist."""
    try:
        datetime.fromisoformat(moment)
    except ValueError as wrong:
        raise PydanticCustomError("string_pattern_mismatch", "no such moment") from wrong
    return moment


MOMENT: Final = (
    r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}"
    r"(\.[0-9]{1,6})?(Z|[+-][0-9]{2}:[0-9]{2})$"
)
Moment = Annotated[
    str,
    Field(
        pattern=MOMENT,
        description="a moment with its zone, like 2031-04-01T06:00:00+02:00",
    ),
    AfterValidator(_in_the_calendar),
]
"""RFC 3339 with a zone: a moment without one is a different moment in the next country."""

CountryCode = Annotated[
    str, Field(pattern=r"^[A-Z]{2}$", description="a country in two capitals, like DE")
]

_K = TypeVar("_K", bound=str)
_V = TypeVar("_V")


def _fixed(table: Mapping[_K, _V]) -> Mapping[_K, _V]:
    """The same table in the order of its keys, closed against change."""
    return MappingProxyType(dict(sorted(table.items())))


class HouseTable(BaseModel):
    """One table of the house file."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class LacingHouse(HouseTable):
    """Patterns: clearances to the neighbour's head and crossings that carry torque."""

    wrap_limit_deg: Annotated[float, Field(gt=0.0, le=90.0)]
    head_clearance_mm: Annotated[float, Field(ge=0.0, le=10.0)]
    head_clearance_block_mm: Annotated[float, Field(ge=0.0, le=10.0)]
    head_clearance_block_wrap_deg: Annotated[float, Field(gt=0.0, le=90.0)]
    radial_heads: Literal["in", "out"]
    torque_crossings: Annotated[int, Field(ge=0, le=4)]
    hole_axis_deg: Annotated[float, Field(gt=0.0, le=20.0)]
    hole_axis_approval_deg: Annotated[float, Field(gt=0.0, le=20.0)]


class FitHouse(HouseTable):
    """Clearances between spoke, hub, nipple and rim."""

    elbow_play_min_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    elbow_play_good_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    elbow_play_max_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    slot_play_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    nipple_play_min_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    nipple_play_max_mm: Annotated[float, Field(ge=0.0, le=3.0)]
    brake_opening_mm: Annotated[float, Field(ge=10.0, le=60.0)]


class LengthHouse(HouseTable):
    """Stock length choice: windows round the target by nipple material, and the look-alike trap."""

    brass_window_mm: tuple[LengthMm, LengthMm]
    alloy_window_mm: tuple[LengthMm, LengthMm]
    aim_mm: Annotated[float, Field(ge=-1.0, le=1.0)]
    look_alike_mm: Annotated[int, Field(ge=0, le=5)]
    stretch_difference_mm: Annotated[float, Field(ge=0.0, le=3.0)]


class TensionHouse(HouseTable):
    """Target, stop and floors of spoke tension."""

    limit_share: Share
    gauge_error: Annotated[float, Field(ge=0.0, le=0.2)]
    stop_step_n: Annotated[float, Field(gt=0.0, le=50.0)]
    band_percent: Annotated[float, Field(gt=0.0, le=30.0)]
    goal_percent: Annotated[float, Field(gt=0.0, le=30.0)]
    slack_side_n: Annotated[float, Field(ge=0.0, le=2000.0)]
    ratio_floor: Share
    ratio_caution: Share
    ratio_tolerance: Share
    buckling_share: Share
    tyre_drop_percent: tuple[Percent, Percent]


class LoadHouse(HouseTable):
    """What the rider's weight becomes at the rim."""

    dynamic_factor: Annotated[float, Field(ge=1.0, le=10.0)]
    front_share: Share
    rear_share: Share
    mean_tension_floor_n: Annotated[float, Field(ge=0.0, le=2000.0)]
    slack_mean_floor_n: Annotated[float, Field(ge=0.0, le=2000.0)]
    spoke_floor_n: Annotated[float, Field(ge=0.0, le=2000.0)]
    side_load_n: Annotated[float, Field(ge=0.0, le=2000.0)]
    side_load_rough_n: Annotated[float, Field(ge=0.0, le=2000.0)]
    cross_wind_depth_mm: Annotated[float, Field(ge=0.0, le=150.0)]
    cross_wind_rider_kg: Annotated[float, Field(ge=0.0, le=200.0)]
    rim_heat_system_kg: Annotated[float, Field(ge=0.0, le=300.0)]


class TyreHouse(HouseTable):
    """Tyre, valve and tape."""

    hookless_cap_bar: Annotated[float, Field(gt=0.0, le=15.0)]
    hookless_tyre_over_rim_mm: Annotated[float, Field(ge=0.0, le=20.0)]
    tube_stem_over_depth_mm: LengthMm
    tubeless_stem_over_depth_mm: LengthMm
    valve_lengths_mm: Annotated[
        tuple[Annotated[int, Field(ge=20, le=150)], ...], Field(min_length=1)
    ]
    tape_over_inner_mm: tuple[LengthMm, LengthMm]
    tape_widths_mm: Annotated[tuple[Annotated[int, Field(ge=10, le=100)], ...], Field(min_length=1)]
    tube_on_hookless_bar: Annotated[float, Field(gt=0.0, le=15.0)]


class FinishHouse(HouseTable):
    """Decal sizes by rim depth."""

    size_depths_mm: Annotated[
        Mapping[Literal["S", "M", "L"], tuple[LengthMm, LengthMm]], AfterValidator(_fixed)
    ]
    track_gap_mm: Annotated[float, Field(ge=0.0, le=50.0)]


class PairHouse(HouseTable):
    """What makes two wheels a set, and what goes into the box."""

    depth_difference_mm: Annotated[float, Field(ge=0.0, le=120.0)]
    rim_mass_difference_g: Annotated[float, Field(ge=0.0, le=200.0)]
    spares_per_length: Annotated[int, Field(ge=0, le=10)]
    spare_nipples: Annotated[int, Field(ge=0, le=20)]


class Market(HouseTable):
    """What a country's papers need. ``reflectors`` is what is printed as the reminder; '' none."""

    manual_language: Annotated[
        str, Field(pattern=r"^[a-z]{2}$", description="a language in two small letters")
    ]
    manual_edition: Annotated[Line, Field(min_length=1)]
    reflectors: Line = ""
    label: Line = ""


class SheetHouse(HouseTable):
    """Tolerances and class limits printed on the sheet, and the address the code points to."""

    bench_address: Annotated[
        str,
        Field(
            max_length=60,
            pattern=r"^(https?|HTTPS?)://[!-~]+/$",
            description="a web address of up to 60 characters that ends in /",
        ),
    ]
    lateral_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    radial_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    radial_joint_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    dish_offset_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    erd_tolerance_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    wheel_mass_percent: Annotated[float, Field(gt=0.0, le=20.0)]
    first_spoke_mm: Annotated[float, Field(gt=0.0, le=3.0)]


class BenchHouse(HouseTable):
    """Judging a wheel: what is a pass, what passes only with a person's remark, what is told as a hint."""

    low_spoke_share: Share
    mean_percent: Annotated[float, Field(gt=0.0, le=30.0)]
    remark_band_percent: Annotated[float, Field(gt=0.0, le=40.0)]
    remark_lateral_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    remark_radial_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    remark_dish_offset_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    neighbours: Annotated[int, Field(ge=2, le=8)]
    neighbours_percent: Annotated[float, Field(gt=0.0, le=30.0)]
    thread_samples: Annotated[int, Field(ge=0, le=72)]
    relief_rounds: Annotated[int, Field(ge=0, le=10)]
    retrues_alone: Annotated[int, Field(ge=1, le=10)]
    pitch_percent: Annotated[float, Field(gt=0.0, le=50.0)]


class StationsHouse(HouseTable):
    """The stations round the bench: what a bare rim may run out, when stress relief has done its work."""

    bare_lateral_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    bare_radial_mm: Annotated[float, Field(gt=0.0, le=5.0)]
    track_change_mm: Annotated[float, Field(gt=0.0, le=2.0)]
    relief_change_percent: Annotated[float, Field(gt=0.0, le=20.0)]
    relief_wave_mm: Annotated[float, Field(gt=0.0, le=10.0)]


class StockHouse(HouseTable):
    """The shelves: how long parts are held for an order that nobody has released."""

    hold_hours: Annotated[int, Field(ge=1, le=2160)]


class House(HouseTable):
    """The whole house file."""

    workshop: Annotated[Line, Field(min_length=1, max_length=80)]
    edition: Annotated[int, Field(ge=1, le=999_999)]
    starts: Moment
    lacing: LacingHouse
    fit: FitHouse
    length: LengthHouse
    tension: TensionHouse
    load: LoadHouse
    tyre: TyreHouse
    finish: FinishHouse
    pair: PairHouse
    sheet: SheetHouse
    bench: BenchHouse
    stations: StationsHouse
    # Editions from before stock was kept say nothing of it, and are read for ever.
    stock: StockHouse = StockHouse(hold_hours=72)
    markets: Annotated[Mapping[CountryCode, Market], AfterValidator(_fixed)]
