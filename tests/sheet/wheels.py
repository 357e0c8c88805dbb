"""Demo wheels as sheet requests (invented data)."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any, Final

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.catalog.edition import Edition
from buildsheet.plan.assembly import Assembly
from buildsheet.plan.build import build
from buildsheet.plan.plan import Plan
from buildsheet.sheet import Decals, SheetRequest, Use
from buildsheet.wheel.spec import Sides

Wheel = tuple[str, str, str, int, int | None, str, str, str, str | None, str]

WHEELS: Final[dict[str, Wheel]] = {
    "disc front": ("front", "OR33D", "KF2", 24, 2, "SJB9", "NA12", "black", None, "12x100"),
    "asymmetric rear": ("rear", "OR30G", "KR3", 32, 3, "SJ18", "NB12", "silver", "B", "12x142"),
    "radial front": ("front", "OR38R", "KF1", 20, 0, "SJB9", "NA12", "red", None, "9x100"),
    "straight-pull front": ("front", "OR45D", "KF4", 24, None, "SSB9", "NA12", "black", None, "12x100"),
    "asymmetric front": ("front", "OR45A", "KF2", 24, 2, "SJB9", "NA12", "black", None, "12x100"),
    "hidden-nipple rear": ("rear", "OR58D", "KR4", 24, None, "SSB9", "NH16", "black", "C", "12x142"),
}  # fmt: skip


@lru_cache(maxsize=1)
def demo_edition() -> Edition:
    edition, findings = read_directory(demo_directory())
    assert edition is not None, findings
    return edition


@lru_cache(maxsize=32)
def plan_of(name: str) -> Plan:
    position, rim, hub, holes, crossings, spoke, nipple, colour, driver, axle = WHEELS[name]
    edition = demo_edition()
    spokes = Sides(left=edition.spokes[spoke], right=edition.spokes[spoke])
    assembly = Assembly(
        position="front" if position == "front" else "rear",
        rim=edition.rims[rim],
        holes=holes,
        hub=edition.hubs[hub],
        spokes=spokes,
        crossings=None if crossings is None else Sides(left=crossings, right=crossings),
        nipple=edition.nipples[nipple],
        nipple_colour=colour,
        driver=edition.drivers[driver] if driver else None,
        axle=axle,
    )
    return build(assembly, edition, with_structure=False)


def request_of(name: str = "disc front", **changes: Any) -> SheetRequest:
    request = SheetRequest(
        workshop="Oddmoor Wheelworks",
        order_number="D-1001",
        revision=1,
        source="shop-a",
        serial="W31-4F7K2",
        issue="A",
        wanted_by="2031-05-20",
        edition=demo_edition(),
        plan=plan_of(name),
        wheel_of=(1, 2),
        use=Use(1, 92.0, 30.0, "tubeless", "disc"),
        bench_url="https://oddmoor.example/w/7GQ2XW9KD4RTPB3M6CFHJN",
        decals=Decals("LAGOON", "LAGOON-S-L", "LAGOON-S-R"),
    )
    return replace(request, **changes)
