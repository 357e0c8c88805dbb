"""An invented catalog of a large workshop: facts of every value of eighteen choices, and 100 rules in CEL.

Drawn once from a fixed seed; nothing in it is a real part. The rules are of the kinds that a workshop
writes: what fits what, what is released for which use, limits by mass, finishes by market, and single
pairs that did not work out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from random import Random

from buildsheet.catalog.rules.rule import Fact

Facts = Mapping[str, Fact]

RIMS, HUBS, SPOKES = 60, 80, 20
COLOURS = ("black", "silver", "red", "blue", "gold", "bronze")
MARKETS = ("north", "south", "east", "west")


@dataclass(frozen=True)
class Synthetic:
    """``values``: for each choice, the facts of every value; ``rules``: expressions over these."""

    values: Mapping[str, tuple[Facts, ...]]
    rules: tuple[str, ...]

    @cached_property
    def home(self) -> Mapping[str, str]:
        """The choice that each fact belongs to."""
        return {fact: choice for choice, values in self.values.items() for fact in values[0]}

    @property
    def combinations(self) -> int:
        product = 1
        for values in self.values.values():
            product *= len(values)
        return product

    def cut(self, most: Mapping[str, int], ways: Mapping[str, Sequence[int]]) -> Synthetic:
        """The same shape and rules with no more than so many values of each choice: those with the most
        ways, for of a cut at random hardly a combination is left."""
        values = {}
        for choice, all_of in self.values.items():
            best = sorted(range(len(all_of)), key=lambda number: -ways[choice][number])
            values[choice] = tuple(all_of[number] for number in sorted(best[: most[choice]]))
        return Synthetic(values, self.rules)


def synthetic() -> Synthetic:
    """60 rims, 80 hubs, 20 spokes a side, fourteen further choices, 100 rules."""
    chance = Random(4)
    spokes = [_spoke(chance, number) for number in range(SPOKES)]
    values: dict[str, tuple[Facts, ...]] = {
        "rim": tuple(_rim(chance, number) for number in range(RIMS)),
        "hub": tuple(_hub(chance, number) for number in range(HUBS)),
        "left spoke": tuple({f"left_spoke.{k}": v for k, v in each.items()} for each in spokes),
        "right spoke": tuple({f"right_spoke.{k}": v for k, v in each.items()} for each in spokes),
        "holes": tuple({"wheel.holes": holes} for holes in (20, 24, 28, 32, 36)),
        "crossings": tuple({"wheel.left_crossings": crossings} for crossings in (0, 1, 2, 3)),
        "nipple": tuple(_nipple(chance, number) for number in range(6)),
        "nipple colour": tuple({"wheel.nipple_colour": colour} for colour in COLOURS),
        "washer": (
            {"wheel.has_washer": False, "washer.seat_shapes": ("round", "flat", "conical")},
            {"wheel.has_washer": True, "washer.seat_shapes": ("round", "conical")},
            {"wheel.has_washer": True, "washer.seat_shapes": ("flat",)},
        ),
        "driver": tuple(
            {"driver.code": f"D{n}", "driver.spline": "AB"[n % 2], "driver.smallest_sprocket": 9 + n}
            for n in range(5)
        ),
        "class": tuple({"use.class": number} for number in (1, 2, 3, 4, 5, 6)),
        "brake": (
            {"use.brake": "rim", "use.rotor_mount": "none"},
            *({"use.brake": "disc", "use.rotor_mount": mount} for mount in ("six", "lock", "ring")),
        ),
        "axle": tuple({"use.axle": axle} for axle in ("qr", "thru12", "thru15", "bolt")),
        "tyre width": tuple(
            {"use.tyre_width_mm": width} for width in (25.0, 28.0, 32.0, 38.0, 45.0, 52.0, 58.0, 64.0)
        ),
        "tyre system": tuple({"use.tyre_system": name} for name in ("tube", "tubeless", "tubular")),
        "decal": tuple({"finish.decal_colour": colour} for colour in ("none", *COLOURS[:5])),
        "market": tuple({"order.market": market} for market in MARKETS),
        "rider": tuple({"use.rider_kg": kg} for kg in (70.0, 90.0, 110.0, 130.0)),
    }  # fmt: skip
    return Synthetic(values, (*GENERAL, *_listed(chance, 100 - len(GENERAL))))


def _some(chance: Random, of: tuple[int, ...], least: int) -> tuple[int, ...]:
    return tuple(sorted(chance.sample(of, chance.randint(least, len(of)))))


def _words(chance: Random, of: tuple[str, ...], least: int) -> tuple[str, ...]:
    return tuple(sorted(chance.sample(of, chance.randint(least, len(of)))))


CLASSES = ((1, 2), (1, 2, 3), (1, 2, 3, 4), (1, 2, 3, 4, 5), (1, 2, 6), (3, 4, 5))
HOLES = ((28, 32), (24, 28, 32), (32, 36), (20, 24, 28), (28, 32, 36))


def _rim(chance: Random, number: int) -> Facts:
    brake = chance.choice(("rim", "disc", "disc"))
    inner = chance.choice((17.0, 19.0, 21.0, 23.0, 25.0, 30.0))
    return {
        "rim.code": f"R{number}",
        "rim.brake": brake,
        "rim.bead": chance.choice(("hooked", "hooked", "hookless")),
        "rim.tubeless": chance.random() < 0.7,
        "rim.depth_mm": chance.choice((18.0, 25.0, 35.0, 45.0, 60.0)),
        "rim.inner_width_mm": inner,
        "rim.seat_diameter_mm": chance.choice((536.0, 542.0, 560.0, 566.0, 584.0, 597.0, 602.0)),
        "rim.bed_mm": chance.choice((1.6, 2.2, 3.0, 4.0)),
        "rim.holes": chance.choice(HOLES),
        "rim.seat_shape": chance.choice(("round", "flat", "conical")),
        "rim.drillings": chance.choice((("external",), ("external", "hidden"), ("hidden",))),
        "rim.needs_washer": chance.random() < 0.2,
        "rim.spoke_limit_n": chance.choice((1000.0, 1100.0, 1200.0, 1300.0)),
        "rim.max_spoke_section_mm2": chance.choice((2.6, 3.2, 4.2)),
        "rim.use_classes": chance.choice(CLASSES),
        "rim.tyre_min_mm": inner + chance.choice((5.0, 8.0)),
        "rim.tyre_max_mm": inner * chance.choice((2.0, 2.3, 2.6)),
    }


def _hub(chance: Random, number: int) -> Facts:
    brake = chance.choice(("rim", "disc", "disc"))
    return {
        "hub.code": f"H{number}",
        "hub.brake": brake,
        "hub.rotor_mount": chance.choice(("six", "lock", "ring")) if brake == "disc" else "none",
        "hub.axles": _words(chance, ("qr", "thru12", "thru15", "bolt"), 1),
        "hub.holes": chance.choice(HOLES),
        "hub.left_flange.circle_mm": chance.choice((38.0, 44.0, 52.0, 58.0)),
        "hub.left_flange.thickness_mm": chance.choice((2.7, 3.0, 3.3)),
        "hub.right_flange.circle_mm": chance.choice((44.0, 50.0, 54.0)),
        "hub.right_flange.thickness_mm": chance.choice((2.7, 3.0, 3.3)),
        "wheel.straight_pull": chance.random() < 0.25,
        "hub.hole_mm": chance.choice((2.4, 2.5, 2.6)),
        "hub.crossings": chance.choice(((0, 1, 2, 3), (1, 2, 3), (2, 3), (2,))),
        "hub.radial_holes": chance.choice(((), (20, 24), (20, 24, 28))),
        "hub.drivers": _words(chance, ("D0", "D1", "D2", "D3", "D4"), 2),
        "hub.spoke_limit_n": chance.choice((1100.0, 1200.0, 1300.0)),
        "hub.use_classes": chance.choice(CLASSES),
        "hub.system_limit_kg": chance.choice((110.0, 130.0, 160.0)),
    }


def _spoke(chance: Random, number: int) -> Facts:
    return {
        "code": f"S{number}",
        "head": chance.choice(("elbow", "elbow", "straight")),
        "thread": chance.choice(("FG2.0", "FG2.0", "FG2.3")),
        "end_mm": chance.choice((2.0, 2.0, 2.18, 2.34)),
        "section_mm2": chance.choice((1.77, 2.0, 2.54, 3.14, 4.0)),
        "spoke_limit_n": chance.choice((1000.0, 1200.0, 1400.0)),
        "flange_min_mm": chance.choice((2.5, 2.8)),
        "flange_max_mm": chance.choice((3.1, 3.4)),
        "use_classes": _some(chance, (1, 2, 3, 4, 5, 6), 3),
        "system_limit_kg": chance.choice((120.0, 150.0, 180.0)),
        "shortest_mm": chance.choice((180, 240, 254)),
        "longest_mm": chance.choice((270, 284, 304)),
    }


def _nipple(chance: Random, number: int) -> Facts:
    return {
        "nipple.code": f"N{number}",
        "nipple.material": ("brass", "alloy")[number % 2],
        "nipple.kind": ("external", "external", "hidden")[number % 3],
        "nipple.thread": ("FG2.0", "FG2.0", "FG2.0", "FG2.3", "FG2.0", "FG2.3")[number],
        "nipple.bed_max_mm": (2.5, 3.5, 4.5)[number % 3],
        "nipple.needs_washer": number == 5,
        "nipple.use_classes": chance.choice(CLASSES[2:4]),
        "nipple.system_limit_kg": (180.0, 130.0)[number % 2],
        "nipple.colours": COLOURS[: 2 if number % 2 == 0 else 6],
    }


def _both(rule: str) -> tuple[str, str]:
    return rule.replace("SIDE", "left"), rule.replace("SIDE", "right")


GENERAL: tuple[str, ...] = (
    "wheel.holes in rim.holes",
    "wheel.holes in hub.holes",
    "use.brake == rim.brake",
    "use.brake == hub.brake",
    "use.rotor_mount == hub.rotor_mount",
    "use.axle in hub.axles",
    "driver.code in hub.drivers",
    "nipple.kind in rim.drillings",
    "!rim.needs_washer || wheel.has_washer",
    "!nipple.needs_washer || wheel.has_washer",
    "rim.seat_shape in washer.seat_shapes",
    "use.class in rim.use_classes",
    "use.class in hub.use_classes",
    "use.class in nipple.use_classes",
    "use.tyre_width_mm >= rim.tyre_min_mm && use.tyre_width_mm <= rim.tyre_max_mm",
    "use.tyre_system != 'tubeless' || rim.tubeless",
    "rim.bead != 'hookless' || use.tyre_system == 'tubeless'",
    "use.tyre_system != 'tubular' || use.tyre_width_mm <= 32.0",
    "wheel.nipple_colour in nipple.colours",
    "wheel.left_crossings in hub.crossings || wheel.left_crossings == 0",
    "wheel.left_crossings > 0 || wheel.holes in hub.radial_holes",
    "wheel.left_crossings * 8 <= wheel.holes + 4",
    "rim.bed_mm <= nipple.bed_max_mm",
    "use.rider_kg + 15.0 <= hub.system_limit_kg",
    "use.rider_kg + 15.0 <= nipple.system_limit_kg",
    "use.rider_kg < 100.0 || wheel.holes >= 28",
    "use.rider_kg < 120.0 || wheel.holes >= 32",
    "use.rider_kg < 100.0 || wheel.left_crossings >= 2",
    "use.class < 4 || use.class == 6 || wheel.left_crossings >= 2",
    "use.class < 4 || use.class == 6 || use.axle.startsWith('thru')",
    "use.brake == 'rim' || wheel.left_crossings >= 1",
    "nipple.material == 'brass' || use.rider_kg <= 110.0 || use.class <= 2",
    "rim.depth_mm < 50.0 || use.class <= 2 || use.class == 6",
    "rim.depth_mm >= 30.0 || finish.decal_colour in ['none', 'black', 'silver']",
    "rim.spoke_limit_n * double(wheel.holes) >= 300.0 * use.rider_kg",
    "use.class != 5 || use.tyre_width_mm >= 52.0",
    "use.class != 6 || use.tyre_width_mm <= 32.0",
    "use.class <= 3 || use.tyre_system != 'tube' || use.rider_kg < 120.0",
    "order.market != 'east' || wheel.nipple_colour in ['black', 'silver', 'gold']",
    "order.market != 'west' || finish.decal_colour != 'gold'",
    "finish.decal_colour == 'none' || finish.decal_colour != 'red' || wheel.nipple_colour != 'blue'",
    "driver.spline != 'B' || use.axle != 'bolt'",
    "driver.smallest_sprocket <= 11 || use.class <= 3",
    "order.market != 'south' || driver.code != 'D4'",
    "left_spoke.thread == right_spoke.thread",
    "left_spoke.section_mm2 <= right_spoke.section_mm2 + 0.6",
    "right_spoke.section_mm2 <= left_spoke.section_mm2 + 1.2",
    *_both("nipple.thread == SIDE_spoke.thread"),
    *_both("wheel.straight_pull == (SIDE_spoke.head == 'straight')"),
    *_both("SIDE_spoke.end_mm <= hub.hole_mm - 0.2"),
    *_both("wheel.straight_pull || (hub.SIDE_flange.thickness_mm >= SIDE_spoke.flange_min_mm"
           " && hub.SIDE_flange.thickness_mm <= SIDE_spoke.flange_max_mm)"),
    *_both("SIDE_spoke.section_mm2 <= rim.max_spoke_section_mm2"),
    *_both("use.class in SIDE_spoke.use_classes"),
    *_both("use.rider_kg + 15.0 <= SIDE_spoke.system_limit_kg"),
    *_both("use.rider_kg < 120.0 || SIDE_spoke.section_mm2 >= 2.0"),
    *_both("SIDE_spoke.spoke_limit_n + 200.0 >= rim.spoke_limit_n"),
    *_both("rim.seat_diameter_mm / 2.0 - hub.SIDE_flange.circle_mm * 0.5"
           " >= double(SIDE_spoke.shortest_mm)"),
    *_both("rim.seat_diameter_mm / 2.0 - hub.SIDE_flange.circle_mm * 0.5 <="
           " double(SIDE_spoke.longest_mm)"),
)  # fmt: skip


def _listed(chance: Random, count: int) -> tuple[str, ...]:
    """Rules about single parts: pairs that did not work out, releases withdrawn, finishes ended."""

    def one(letter: str, below: int) -> str:
        return f"'{letter}{chance.randrange(below)}'"

    def three(letter: str, below: int) -> str:
        return ", ".join(f"'{letter}{each}'" for each in sorted(chance.sample(range(below), 3)))

    kinds = (
        lambda: f"rim.code != {one('R', RIMS)} || hub.code != {one('H', HUBS)}",
        lambda: f"rim.code != {one('R', RIMS)} || !(use.class in [{chance.randint(1, 4)}])",
        lambda: (
            f"!(hub.code in [{three('H', HUBS)}]) || use.rider_kg <= {chance.choice((90, 110))}.0"
        ),
        lambda: f"left_spoke.code != {one('S', SPOKES)} || nipple.code != {one('N', 6)}",
        lambda: (
            f"!(rim.code in [{three('R', RIMS)}]) || wheel.nipple_colour in ['black', 'silver']"
        ),
        lambda: (
            f"!(hub.code in [{three('H', HUBS)}]) || order.market != '{chance.choice(MARKETS)}'"
        ),
        lambda: f"!(rim.code in [{three('R', RIMS)}]) || right_spoke.code != {one('S', SPOKES)}",
        lambda: f"!(rim.code in [{three('R', RIMS)}]) || use.tyre_width_mm >= 32.0",
    )
    return tuple(kinds[number % len(kinds)]() for number in range(count))
