"""Demo orders that go the whole way through the program: every row that the copies are made of."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final, Literal

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.bench.steps import Answer, packing_of
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.moves.move import Move
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from tests.actions.bench.day import kit, pass_of, rim_gate, step, view_of
from tests.actions.moves.asking import ask
from tests.bench.intake import TAKEN, full_shelves
from tests.workshops import EXAMPLES, MORNING, Dice, answer_of, example, raw

BUILDERS = ("M. K.", "R. T.", "J. P.", "L. W.")
GAUGES = ("G1", "G2")
_LOT: Final = "batch-of-"
OFF_SHARES = (0.3, 0.15, 0.0)
"""How far the first spokes are off target at each of the three passes."""


@dataclass
class Running:
    """A clock that goes on by a minute whenever somebody looks at it."""

    at: datetime = field(default=MORNING)

    def __call__(self) -> datetime:
        self.at += timedelta(minutes=1)
        return self.at


Stage = Literal["taken", "read", "shipped"]
"""How far an order came: released and no more, its first wheel read once, gone."""


@dataclass(frozen=True, slots=True)
class Lived:
    """One order: its numbers, how far it came, and the rim batch of its wheels."""

    order_id: str
    number: str
    stage: Stage
    serials: tuple[str, ...]
    batch: str


def lived(file: Path) -> tuple[Lived, ...]:
    """A new workshop file with every example order in it three times: shipped, at the stand, taken."""
    workshop = open_workshop(file, clock=Running(), chance=Dice())
    load_catalog(workshop, demo_directory())
    stocked = load_stock(workshop, full_shelves(), by="bench")
    if stocked.findings:
        raise RuntimeError(str(stocked.findings))
    for table in _gauge_tables():
        _good(add_table(workshop, raw(table)))
    for gauge in GAUGES:
        _good(check_gauge(workshop, raw({"gauge": gauge, "good": True, "by": BUILDERS[0]})))
    stages: tuple[Stage, ...] = ("shipped", "read", "taken")
    done = tuple(
        _order(workshop, name, stage, place) for stage in stages for place, name in enumerate(TAKEN)
    )
    workshop.close()
    return done


def _gauge_tables() -> Iterator[dict[str, Any]]:
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        yield from json.loads(path.read_text(encoding="utf-8"))


def _order(workshop: Workshop, name: str, stage: Stage, place: int) -> Lived:
    number = f"{name}-{stage}"
    document = example(name, **{"/number": number})
    order = answer_of(take_order(workshop, raw(document), f"key-of-{number}"))
    if order["state"] == "on-hold":
        _moved(workshop, order["id"], "approve")
    _moved(workshop, order["id"], "release")
    serials = tuple(str(each["serial"]) for each in order["wheels"])
    batch = f"{_LOT}{place}"
    if stage == "read":
        _read(workshop, serials[0], place, batch, OFF_SHARES[:1])
    if stage == "shipped":
        for serial in serials:
            _read(workshop, serial, place, batch, OFF_SHARES)
            _signed(workshop, serial)
        for serial in serials:
            _sent(workshop, serial, serials)
    return Lived(order["id"], number, stage, serials, batch)


def _moved(workshop: Workshop, order_id: str, move: Move) -> None:
    moved = ask(workshop, order_id, move)
    if any(each.blocks for each in moved.findings):
        raise RuntimeError(str([each.says for each in moved.findings]))


def _read(
    workshop: Workshop, serial: str, place: int, batch: str, off_shares: tuple[float, ...]
) -> None:
    """From the rim gate to the last pass, by one builder with one gauge."""
    plan = view_of(workshop, serial).plan
    mine, rim = {"by": BUILDERS[place % len(BUILDERS)]}, f"R-{serial}"
    _fine(rim_gate(workshop, serial, rim_serial=rim, batch=batch, **mine))
    _fine(kit(workshop, serial))
    if program := plan.drilling.program:
        drilled = {"rim_serial": rim, "program": program, "first_hole_good": True}
        _fine(step(workshop, serial, "drill", **drilled, **mine))
    lengths = {"left_mm": plan.spokes.left.stock_mm, "right_mm": plan.spokes.right.stock_mm}
    _fine(step(workshop, serial, "first-spoke", **lengths, **mine))
    said = {"as_picture": True, "label_at_valve": True, "bed_as_arrow": True}
    _fine(step(workshop, serial, "half-way", **said, **mine))
    for number in (1, 2, 3):
        step(workshop, serial, "relief", round=number, before_n=1150, after_n=1140, **mine)
    for number, off_share in enumerate(off_shares, start=1):
        took = take_pass(workshop, serial, _readings(workshop, serial, number, off_share, place))
        if took.outcome != "kept":
            raise RuntimeError(str([each.says for each in took.findings]))


def _readings(workshop: Workshop, serial: str, number: int, off_share: float, place: int) -> bytes:
    task = view_of(workshop, serial).task
    typed = [
        round(task.target_n[side] * (1 - off_share * (hole % 8 == 0)))
        for hole, side in enumerate(task.sides)
    ]
    return pass_of(
        workshop,
        serial,
        f"k-pass-{number:04d}",
        by=BUILDERS[place % len(BUILDERS)],
        rim_serial=f"R-{serial}",
        hub_serial=f"H-{serial}",
        tension={"gauge": GAUGES[place % len(GAUGES)], "unit": "n", "typed": typed},
    )


def _signed(workshop: Workshop, serial: str) -> None:
    document = {
        "key": "k-sign-0001",
        "issue": "A",
        "by": "S. Second",
        "number": len(OFF_SHARES),
        "verdict": "pass",
    }
    _fine(sign(workshop, serial, raw(document)))


def _sent(workshop: Workshop, serial: str, of_order: tuple[str, ...]) -> None:
    """Finished, paired, packed and handed to the carrier."""
    decals = view_of(workshop, serial).stand.decals
    put = dict(zip(("left_decal", "right_decal"), decals, strict=False))
    seen = {"at_template": True, "limits_readable": True, "photos": ["p-1", "p-2"]}
    _fine(step(workshop, serial, "finishing", **put, **seen))
    others = [each for each in of_order if each != serial]
    if others:
        pair = {"serial": serial, "other_serial": others[0], "same_finish": True}
        _fine(step(workshop, serial, "pair", **pair))
    packed = [each.label for each in packing_of(workshop, view_of(workshop, serial))]
    _fine(step(workshop, serial, "box", packed=packed))
    _fine(step(workshop, serial, "ship", carrier="a van", reference="R-1"))


def _fine(answer: Answer) -> None:
    blocks = [each.says for each in answer.findings if each.blocks]
    if blocks or answer.outcome != "kept":
        raise RuntimeError(f"{answer.outcome}: {blocks or [e.says for e in answer.findings]}")


def _good(kept: Any) -> None:
    if not kept.new:
        raise RuntimeError(str(kept.findings))
