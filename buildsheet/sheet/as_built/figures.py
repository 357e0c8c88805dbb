"""Predicted against measured: one row a figure, each with what was allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from buildsheet.bench.readings import Dish, RunOut
from buildsheet.bench.record import NOT_RECORDED
from buildsheet.sheet.as_built.document import Recorded, millimetres, newtons, words
from buildsheet.sheet.charts.run_out_round import RunOutStrip
from buildsheet.sheet.content.rounding import NONE
from buildsheet.wheel.spec import SIDES

Row = tuple[str, ...]
HEAD: Final[Row] = ("figure", "planned", "measured", "allowed")


def compared(record: Recorded) -> tuple[Row, ...]:
    """Figure, planned, measured, allowed."""
    return (*_tension(record), *_shape(record), *_dimensions(record), *_workmanship(record))


def _tension(record: Recorded) -> Iterator[Row]:
    for side in SIDES:
        mean = f"± {record.text('planned', 'allowed', 'mean_percent')} %"
        read_n = record.number("measured", "sides", side, "mean_n")
        yield (
            f"mean {side.upper()}",
            newtons(record.number("planned", f"{side}_n")),
            newtons(read_n),
            mean,
        )
    ratio, within = record.number("planned", "ratio"), record.number("planned", "allowed", "ratio")
    yield (
        "slack side ÷ tight side",
        _hundredths(ratio),
        _hundredths(record.number("measured", "ratio")),
        f"± {_hundredths(within)}",
    )
    read = [(n, hole) for hole, n in enumerate(record.tension_n, start=1) if n is not None]
    highest = f"{max(read)[0]:.0f} N, hole {max(read)[1]}" if read else NOT_RECORDED
    stop = newtons(record.number("planned", "stop_n"))
    yield "highest spoke", NONE, highest, f"STOP {stop}"
    for side in SIDES:
        below = record.number("measured", "sides", side, "below_percent")
        above = record.number("measured", "sides", side, "above_percent")
        spread = (
            NOT_RECORDED if below is None or above is None else f"{below:+.1f} / {above:+.1f} %"
        )
        band = f"± {record.text('planned', 'allowed', 'band_percent')} % of mean"
        yield f"spread {side.upper()}", NONE, spread, band


def _shape(record: Recorded) -> Iterator[Row]:
    joint = bool(record.at("measured", "radial", "at_joint"))
    for strip in strips(record):
        where = " at the joint" if strip.name == "radial" and joint else ""
        yield (
            f"{strip.name} run-out",
            NONE,
            f"{millimetres(strip.full_mm)}{where if strip.full_mm is not None else ''}",
            f"{strip.allowed_mm:.2f} mm full reading",
        )
    dish = dish_of(record.at("measured", "dish"))
    said = NOT_RECORDED
    if dish is not None:
        said = f"{abs(dish.offset_mm):.2f} mm {dish.toward.upper()}" if dish.typed_mm else "0.00 mm"
    yield (
        "rim's offset (dish)",
        NONE,
        said,
        f"{record.text('planned', 'allowed', 'dish_offset_mm')} mm",
    )


def _dimensions(record: Recorded) -> Iterator[Row]:
    mass_g, read_g = record.number("planned", "mass_g"), record.number("measured", "mass_g")
    yield (
        "mass",
        NOT_RECORDED if mass_g is None else f"{mass_g:.0f} g",
        NOT_RECORDED if read_g is None else f"{read_g:.0f} g",
        f"± {record.text('planned', 'allowed', 'mass_percent')} %",
    )
    gate = record.station("rim-gate")
    read = [each for each in gate.values("said", "diameters_mm") if isinstance(each, int | float)]
    of = gate.text("said", "diameter_of", absent="")
    mean = sum(read) / len(read) if read else None
    yield (
        "effective diameter",
        millimetres(record.number("planned", "erd_mm"), 1),
        millimetres(mean, 1) + (f", seat, {len(read)} places" if read and of == "seat" else ""),
        NONE,
    )
    first = record.station("first-spoke")
    for side in SIDES:
        yield (
            f"first spoke {side.upper()}",
            f"{record.text('parts', 'spokes', side, 'length_mm')} mm",
            millimetres(first.number("said", f"{side}_mm"), 1),
            NONE,
        )


def _workmanship(record: Recorded) -> Iterator[Row]:
    ends = record.values("measured", "threads")
    said = f"{ends.count('in')} of {len(ends)} in the window" if ends else NOT_RECORDED
    yield "spoke ends sampled", NONE, said, "all"
    yield "hub: play or drag", NONE, record.text("measured", "free_play"), "no"
    yield "spokes wound up", NONE, record.text("measured", "twisted"), "no"
    yield "rounds of stress relief", NONE, record.text("measured", "relief_rounds"), NONE


def strips(record: Recorded) -> tuple[RunOutStrip, ...]:
    """Both run-outs as pictures want them."""
    joint = bool(record.at("measured", "radial", "at_joint"))
    found: list[RunOutStrip] = []
    for name, up, down in (("lateral", "RIGHT", "LEFT"), ("radial", "out", "in")):
        run = run_out_of(record.at("measured", name))
        limit = "radial_joint_mm" if name == "radial" and joint else f"{name}_mm"
        found.append(
            RunOutStrip(
                name,
                up,
                down,
                (run.by_hole_mm or ()) if run else (),
                run.full_mm if run else None,
                record.number("planned", "allowed", limit) or 0.0,
            )
        )
    return tuple(found)


def run_out_of(typed: Mapping[str, Any] | None) -> RunOut | None:
    """A run-out as it was typed."""
    if not isinstance(typed, Mapping):
        return None
    by_hole = typed.get("by_hole_mm")
    return RunOut(
        typed["given_as"],
        typed.get("typed_mm"),
        tuple(by_hole) if by_hole is not None else None,
        bool(typed.get("at_joint")),
    )


def dish_of(typed: Mapping[str, Any] | None) -> Dish | None:
    """A dish as it was typed."""
    if not isinstance(typed, Mapping):
        return None
    return Dish(typed["given_as"], float(typed["typed_mm"]), typed["toward"])


def reading_rows(record: Recorded, side: str) -> tuple[Row, ...]:
    """Hole, reading as typed where it was not in newtons, newtons, and how far off the side's mean."""
    typed, unit = record.values("measured", "tension_typed", "typed"), unit_of(record)
    mean_n = record.number("measured", "sides", side, "mean_n")
    rows: list[Row] = []
    for hole, (of, force_n) in enumerate(zip(record.sides, record.tension_n, strict=True), start=1):
        if of != side:
            continue
        shown = words(typed[hole - 1] if hole <= len(typed) else None)
        as_read = () if unit == "n" or typed_none(shown) else (shown,)
        if force_n is None:
            rows.append((str(hole), *as_read, NOT_RECORDED))
            continue
        off = f"{100.0 * (force_n / mean_n - 1.0):+.1f}" if mean_n else NONE
        rows.append((str(hole), *as_read, f"{force_n:.0f}", off))
    return tuple(rows)


def typed_none(shown: str) -> bool:
    """Whether a spoke was not read at all."""
    return shown == NOT_RECORDED


def unit_of(record: Recorded) -> str:
    """The unit that tensions were typed in; newtons where none were."""
    return record.text("measured", "tension_typed", "unit", absent="n")


def _hundredths(value: float | None) -> str:
    return NOT_RECORDED if value is None else f"{value:.2f}"
