"""What goes into the box, computed from what was ordered: spares, small parts, papers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class Packed:
    """One line of the packing list: its label as it is ticked, and what the label does not say of it.

    ``positions`` are the wheels that it is a part of: each of them is looked at for itself. What lies
    beside them in the box has none.
    """

    label: str
    what: str
    positions: tuple[str, ...] = ()


def packing_list(
    plans: Mapping[str, Plan], edition: Edition, document: Mapping[str, Value]
) -> tuple[Packed, ...]:
    """Everything in the box of one order, wheels first, papers last; each label once, with all that it
    is for."""
    lines = [
        *(
            Packed(f"wheel {position}", f"rim {plan.rim}, hub {plan.hub}", (position,))
            for position, plan in plans.items()
        ),
        *_spares(plans),
        *(line for plan in plans.values() for line in _of_rim(plan, edition, document)),
        *(line for position, plan in plans.items() for line in _of_hub(position, plan, edition)),
        *_papers(edition, str(document.get("market") or "")),
    ]
    said: dict[str, list[Packed]] = {}
    for line in lines:
        said.setdefault(line.label, []).append(line)
    return tuple(_together(label, alike) for label, alike in said.items())


def _together(label: str, alike: Sequence[Packed]) -> Packed:
    whats = dict.fromkeys(each.what for each in alike)
    positions = dict.fromkeys(position for each in alike for position in each.positions)
    return Packed(label, "; ".join(whats), tuple(positions))


def _spares(plans: Mapping[str, Plan]) -> Iterator[Packed]:
    counts: dict[str, int] = {}
    for plan in plans.values():
        for pick in plan.pick:
            if pick.spare:
                counts[pick.part] = counts.get(pick.part, 0) + pick.spare
    for part, count in counts.items():
        yield Packed(f"{count} x {part}", "spares for the rider")


def _of_rim(plan: Plan, edition: Edition, document: Mapping[str, Value]) -> Iterator[Packed]:
    rim = edition.rims.get(plan.rim)
    use = document.get("use")
    system = use.get("tyre_system") if isinstance(use, dict) else None
    if rim is None:
        return
    if rim.brake == "rim":
        yield Packed("pads for carbon track", "no other pads on this track")
    if system == "tubular":
        return
    house = edition.house.tyre
    tubeless = system == "tubeless"
    low, high = house.tape_over_inner_mm
    for width_mm in house.tape_widths_mm:
        if low <= width_mm - rim.inner_width_mm <= high:
            yield Packed(f"tape {width_mm} mm", f"for the rim {rim.code}")
            break
    over_mm = house.tubeless_stem_over_depth_mm if tubeless else house.tube_stem_over_depth_mm
    for length_mm in sorted(house.valve_lengths_mm):
        if length_mm >= rim.depth_mm + over_mm:
            if tubeless:
                yield Packed(f"valve {length_mm} mm", f"tubeless, for the rim {rim.code}")
            break


def _of_hub(position: str, plan: Plan, edition: Edition) -> Iterator[Packed]:
    if plan.end_caps:
        says = f"end caps of the {position} hub {plan.hub}"
        yield Packed(f"fitted {plan.end_caps}", says, (position,))
    driver = edition.drivers.get(plan.driver or "")
    if driver is not None and driver.spacer:
        yield Packed(f"spacer {driver.code}", driver.spacer)


def _papers(edition: Edition, market: str) -> Iterator[Packed]:
    papers = edition.house.markets.get(market)
    yield Packed("first-ride card", "check after the first 100 to 200 km, limits, cautions")
    if papers is None:
        return
    yield Packed(f"manual {papers.manual_edition} {papers.manual_language}", f"for market {market}")
    if papers.label:
        yield Packed(f"label {market}", papers.label)
    if papers.reflectors:
        yield Packed(f"reflector sheet {market}", papers.reflectors)
