"""What a new or changed part must prove before it is published: reports behind its limits, and two
measurements behind the figures that spoke lengths follow from.

Reading a catalog asks for none of this: an edition that was published stays readable. Publishing asks
it of the parts that are added and of the figures that change (`unproved`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import Place, fault
from buildsheet.catalog.links import file_of
from buildsheet.catalog.parts import (
    HubEvidence,
    NippleEvidence,
    Part,
    RimEvidence,
    SpokeEvidence,
)
from buildsheet.findings import Finding

Keys = tuple[str, ...]

LIMITS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        kind: tuple(model.model_fields)
        for kind, model in (
            ("rims", RimEvidence),
            ("hubs", HubEvidence),
            ("spokes", SpokeEvidence),
            ("nipples", NippleEvidence),
        )
    }
)
"""Kind -> the keys that are limits: what a wheel may be loaded with because of this part."""

MEASURED: Final[Mapping[str, tuple[Keys, ...]]] = MappingProxyType(
    {
        "rims": (("seat_diameter_mm",),),
        "hubs": tuple(
            (side, "from_centre_mm")
            for side in ("left_flange", "right_flange", "left_seats", "right_seats")
        ),
    }
)
"""Kind -> the figures that want two measurements."""

NEVER_BUILT: Final = frozenset({"draft", "ended"})
"""States in which no wheel is built with the part: it may wait for its proof."""


def kind_of(part: Part) -> str:
    """The kind under which the catalog keeps a part: ``rims`` for a rim."""
    return next(kind for kind, model in KINDS.items() if type(part) is model)


def measurements_of(keys: Keys) -> Keys:
    """Where the measurements of a figure stand.

    >>> measurements_of(("left_flange", "from_centre_mm"))
    ('left_flange', 'from_centre_measured_mm')
    >>> measurements_of(("seat_diameter_mm",))
    ('seat_measured_mm',)
    """
    names = {"seat_diameter_mm": "seat_measured_mm", "from_centre_mm": "from_centre_measured_mm"}
    return (*keys[:-1], names[keys[-1]])


def unproved(part: Part, before: Part | None = None) -> tuple[Finding, ...]:
    """What stands against publishing a part: one finding for each limit without its report and for
    each measured figure without two measurements, all of severity block.

    ``before`` is the part as the edition before has it: then only figures that differ are asked, and
    a limit that changed may not rest on the words that proved the old one. A part in a state in which
    nothing is built with it is asked nothing; taken out of that state, it is asked everything.
    """
    if part.state in NEVER_BUILT:
        return ()
    if before is not None and (before.state in NEVER_BUILT or type(before) is not type(part)):
        before = None
    kind = kind_of(part)
    place = Place(file_of(kind), (part.code,))
    return (
        *_limits(part, before, LIMITS.get(kind, ()), place),
        *_measured(part, before, MEASURED.get(kind, ()), place),
    )


def _limits(
    part: Part, before: Part | None, limits: tuple[str, ...], place: Place
) -> Iterator[Finding]:
    for key in limits:
        stated, old = _at(part, (key,)), _at(before, (key,))
        if stated in (None, False) or (before is not None and stated == old):
            continue
        report, old_report = _at(part, ("evidence", key)), _at(before, ("evidence", key))
        here, also = place.under("evidence", key), (place.under(key),)
        if report is None:
            says = f"{key} is stated without a report. Name the test report or the maker's sheet."
            yield fault("data.unproved", here, says, also=also)
        elif before is not None and report == old_report:
            says = f"{key} has changed, and its report is still the one of the old figure."
            yield fault("data.unproved", here, says, have={"found": str(report)}, also=also)


def _measured(
    part: Part, before: Part | None, figures: tuple[Keys, ...], place: Place
) -> Iterator[Finding]:
    for keys in figures:
        figure = _at(part, keys)
        if figure is None or (before is not None and figure == _at(before, keys)):
            continue
        if _at(part, measurements_of(keys)) is None:
            says = f"{keys[-1]} is not measured. Give two measurements that are independent."
            here = place.under(*measurements_of(keys))
            yield fault("data.unmeasured", here, says, also=(place.under(*keys),))


def _at(part: Part | None, keys: Keys) -> object:
    """What stands at these keys of a part; None where nothing does."""
    value: object = part
    for key in keys:
        value = getattr(value, key, None)
    return value
