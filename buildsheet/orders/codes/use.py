"""Codes of the families ``load`` and ``tyre``: rider, use, tyre and air."""

from __future__ import annotations

from typing import Final

from buildsheet.codes import (
    GEOMETRY,
    HOUSE,
    MAKER,
    PRACTICE,
    CodeEntry,
    entry,
)

_CLASS = "EN 17406 classes, read in preview; release by the maker's table"
_CARRIES = "A wheel that fails under its rider can injure or kill."

CODES: Final[tuple[CodeEntry, ...]] = (
    entry(
        "load.mass-missing",
        "block",
        "Rider, bicycle and luggage mass must be stated.",
        "Without the mass nobody can say whether the wheel carries it.",
        HOUSE,
        "G02",
    ),
    entry(
        "load.system-mass",
        "block",
        "Rider, bicycle and luggage are heavier than a part is released for.",
        _CARRIES,
        MAKER,
        "G01",
    ),
    entry(
        "load.spoke-count",
        "block",
        "The rim is not released with so few spokes for this wheel.",
        _CARRIES,
        MAKER,
        "G04",
    ),
    entry(
        "load.use-class", "block", "A part is not released for this use.", _CARRIES, _CLASS, "G03"
    ),
    entry(
        "load.spoke-class",
        "block",
        "A spoke is not released for this use.",
        _CARRIES,
        _CLASS,
        "B08",
    ),
    entry(
        "load.out-of-scope",
        "block",
        "Nothing in this catalog is released for such a bicycle.",
        _CARRIES,
        "ISO 4210-2:2023 scope, read; house decision",
        "E09, G05",
    ),
    entry(
        "load.race-rules",
        "note",
        "Racing bodies have rules of their own.",
        "Depth, spoke count and approval depend on the body that runs the race.",
        PRACTICE,
        "G08",
    ),
    entry(
        "load.slack-margin",
        "approval caution",
        "A hard knock under this load takes a spoke's last tension.",
        "A spoke that goes slack lets its nipple turn and its elbow move.",
        "structure, own calculation; dynamic factor and axle shares are house figures, proposal; "
        "tyre drop, common practice, no source",
        "G01",
    ),
    entry(
        "load.rider-limit",
        "note",
        "The parts are released to more than the structure carries with margin.",
        "The lowest limit counts, whether a part or the whole wheel sets it.",
        "structure, own calculation; dynamic factor and axle shares are house figures, proposal; "
        "tyre drop, common practice, no source",
        "G01",
    ),
    entry(
        "load.side-load",
        "caution",
        "The side push of the wheel test would slacken a spoke.",
        "Sprinting and cornering push the rim sideways.",
        "structure, own calculation; push of TBIS 15194:2019 table 25 (read), JIS D 9301:2019 5.5.1.3 "
        "(second-hand)",
    ),
    entry(
        "load.heat",
        "caution",
        "Long descents on rim brakes with this mass heat the rim.",
        "Hot carbon softens, and hot tyres burst.",
        "common practice, no source; mass is a house figure, proposal",
        "G06",
    ),
    entry(
        "load.cross-wind",
        "caution",
        "A deep front rim under a light rider.",
        "Cross-wind steers a deep front wheel.",
        "common practice, no source; figures of the house, proposal",
        "G07",
    ),
    entry(
        "tyre.bead-seat",
        "block",
        "Tyre and rim have different bead seat diameters.",
        "A tyre of another diameter cannot be mounted, or comes off.",
        GEOMETRY,
        "F01",
    ),
    entry(
        "tyre.width",
        "block",
        "The tyre is narrower or wider than the rim is released for.",
        "Outside the table the tyre's bead may leave the rim.",
        MAKER,
        "F02",
    ),
    entry(
        "tyre.hookless",
        "block",
        "The tyre is too narrow for a rim without hooks.",
        "Without hooks only the tyre's own shape keeps the bead in place.",
        "trade press on revised guidance, second-hand; figure kept in the house file",
        "F03",
    ),
    entry(
        "tyre.tube-on-hookless",
        "approval",
        "A tyre with a tube on a rim without hooks.",
        "Only tyres released for straight sides stay on; somebody must have asked which tyre it is.",
        HOUSE,
        "F08",
    ),
    entry(
        "tyre.system",
        "block",
        "The rim is not made for tubeless tyres.",
        "Air that leaks past spoke holes or a wrong shoulder lets the tyre drop.",
        MAKER,
        "F02",
    ),
    entry(
        "tyre.tubular",
        "block",
        "Glued tyres need their own rims, and those take no others.",
        "A glued tyre has no bead, a beaded tyre no base for glue.",
        GEOMETRY,
        "F09",
    ),
    entry(
        "tyre.pressure",
        "note",
        "The highest pressure of this rim with this tyre; printed and on the label.",
        "More bursts the rim or lifts the tyre off.",
        "maker's table; straight sides capped at 5 bar (ETRTO through trade press, second-hand)",
        "F04",
    ),
    entry(
        "tyre.valve-length",
        "caution",
        "No stocked valve is long enough for the rim.",
        "A valve that does not show cannot be pumped.",
        PRACTICE,
        "F05",
    ),
    entry(
        "tyre.tape-width",
        "caution",
        "No stocked rim tape fits the rim's width.",
        "Tape that leaves the edge open leaks.",
        PRACTICE,
        "F07",
    ),
)
