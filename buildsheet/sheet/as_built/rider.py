"""What the rider is told of this wheel: limits, pressure by tyre, spares by side."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.as_built.document import Recorded, words
from buildsheet.sheet.content.rounding import TIMES
from buildsheet.units import psi
from buildsheet.wheel.spec import SIDES

Row = tuple[str, ...]
NO_PRESSURE: Final = "not recorded: ask the workshop before you pump"
WIDER: Final = "A row holds up to the next width. Wider tyres take less."


def limit_rows(record: Recorded) -> tuple[Row, ...]:
    """(figure, what it limits)."""
    kg = record.number("limits", "system_mass_kg")
    low_mm, high_mm = (record.number("limits", each) for each in ("tyre_min_mm", "tyre_max_mm"))
    unknown = low_mm is None and high_mm is None
    tyre = words(None) if unknown else f"{words(low_mm)} to {words(high_mm)} mm"
    rim = f"{record.text('limits', 'bead_seat_mm')} mm {record.text('limits', 'bead')} rim"
    return (
        (words(None) if kg is None else f"{kg:g} kg", "rider, bicycle and luggage together"),
        (tyre, f"tyre width, on a {rim}"),
        (record.text("limits", "use_classes"), "classes of use this wheel is released for"),
        (
            f"{record.text('limits', 'brake')} brake",
            "and no other, with pads or rotor made for it",
        ),
    )


def pressure_head(record: Recorded) -> Row:
    """What the columns of `pressure_rows` are."""
    hookless = record.at("limits", "bead") == "hookless"
    return ("tyre from", "tubeless", "with a tube") if hookless else ("tyre from", "never above")


def pressure_rows(record: Recorded) -> tuple[Row, ...]:
    """Highest pressure by tyre width; () where nobody gave one."""
    columns = len(pressure_head(record)) - 1
    return tuple(
        (
            f"{each.text('from_tyre_mm')} mm",
            *(_bar(each.number(name)) for name in ("limit_bar", "with_tube_bar")[:columns]),
        )
        for each in record.rows("limits", "pressure")
    )


def spare_rows(record: Recorded) -> tuple[Row, ...]:
    """(side or part, what to order, how many are in the wheel)."""
    nipple = ("parts", "nipple")
    return (
        *(
            (
                side.upper(),
                f"{record.text('parts', 'spokes', side, 'type')},"
                f" {record.text('parts', 'spokes', side, 'length_mm')} mm",
                f"{record.text('parts', 'spokes', side, 'count')} in the wheel",
            )
            for side in SIDES
        ),
        (
            "NIPPLES",
            f"{record.text(*nipple, 'code')} {record.text(*nipple, 'colour')}",
            record.text(*nipple, "washer", absent="without washer"),
        ),
    )


def in_the_bag(record: Recorded) -> str:
    """The spares that came with the wheel."""
    spares = ", ".join(
        f"{each.text('count')} {TIMES} {each.text('part')}"
        for each in record.rows("parts", "spares")
    )
    return f"In the bag already: {spares or 'nothing'}."


def _bar(limit_bar: float | None) -> str:
    return words(None) if limit_bar is None else f"{limit_bar:.1f} bar ({psi(limit_bar):.0f} psi)"
