"""What the senders send: each script is a short day's work with keys of its own."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import count
from random import Random
from typing import Any, Final

from buildsheet.actions.bench.view import BenchView, bench_of_serial
from buildsheet.actions.workshop import Workshop
from tests.soak.crashing.clients import Post, Sender
from tests.soak.crashing.documents import every_order

SHORT: Final = "KF4/24"
"""The article that runs short: two of the examples take it, little comes in."""

ORDERS: Final = every_order()

JSON = dict[str, Any]
Script = Callable[[Sender], None]


@dataclass(slots=True)
class Work:
    """What a round's senders have before them, besides new orders: orders to move (document by id),
    wheels to build (their documents, first to last, each taken out when it is sent), and the version of a
    draft that is to be published."""

    name: str
    seed: str
    to_move: list[tuple[str, JSON]] = field(default_factory=list)
    to_build: list[tuple[str, list[JSON]]] = field(default_factory=list)
    draft: int | None = None


def day(work: Work) -> Script:
    """The script of one round: moves, wheels and an edition first, then orders and goods without end."""

    def run(sender: Sender) -> None:
        chance = Random(f"{work.seed}-{work.name}-{sender.number}")
        names = (f"{work.name}-{sender.number:02}-{number:03}" for number in count())
        if work.draft is not None and sender.number == 0:
            _publishes(sender, work.draft, next(names))
        mine = [*_scripts(work, sender.number, chance, names)]
        chance.shuffle(mine)
        while True:
            if mine and chance.random() < 0.6:
                mine.pop()(sender)
            elif chance.random() < 0.85:
                sender.send(order(chance, next(names)))
            else:
                sender.send(goods(chance, next(names)))

    return run


def _scripts(work: Work, number: int, chance: Random, names: Iterator[str]) -> Iterator[Script]:
    for order_id, document in work.to_move[number::16]:
        yield _moves(order_id, document, chance, names)
    for serial, documents in work.to_build[number::16]:
        yield _builds(serial, documents, names)


def order(chance: Random, name: str) -> Post:
    """A new order; every second one with an Idempotency-Key besides its number."""
    document = {**chance.choice(ORDERS), "number": name}
    headers = {"Idempotency-Key": f"order-{name}"} if chance.random() < 0.5 else {}
    return Post("order", "/api/v1/orders", _raw(document), name, headers=headers)


def goods(chance: Random, name: str) -> Post:
    """Goods that come in or are announced: two lines that become true together or not at all."""
    lines: list[JSON] = [{"kind": "received", "part": SHORT, "pieces": chance.randint(1, 2)}]
    if chance.random() < 0.5:
        due = {"kind": "expected", "part": "KF2/24", "pieces": 4, "due_on": "2031-06-01"}
        lines.append(due)
    else:
        lines.append({"kind": "received", "part": "KF2/24", "pieces": 2})
    document = {"key": name, "by": "S. Shelf", "reason": name, "movements": lines}
    return Post("goods", "/api/v1/stock/movements", _raw(document), name)


def _moves(order_id: str, document: JSON, chance: Random, names: Iterator[str]) -> Script:
    """One order that only this sender moves, so that every answer is foreseeable."""
    plans: tuple[tuple[str, ...], ...] = (
        ("hold",),
        ("hold", "approve"),
        ("release",),
        ("release", "cancel"),
        ("cancel",),
        ("change",),
        ("change", "cancel"),
        ("hold", "approve", "release"),
    )
    moves = chance.choice(plans)

    def run(sender: Sender) -> None:
        for move in moves:
            key = f"move-{next(names)}"
            said: JSON = {"by": "M. Mover", "reason": f"asked for by telephone, {key}"}
            if move == "change":
                said |= {"old_revision": 1, "order": _changed(document, chance)}
            path = f"/api/v1/orders/{order_id}/{move}"
            headers = {"Idempotency-Key": key}
            if not sender.send(Post("move", path, _raw(said), key, headers=headers)).taken:
                return

    return run


def _changed(document: JSON, chance: Random) -> JSON:
    """Revision 2: another note (only the paper changes), or a lighter rider."""
    if chance.random() < 0.5:
        return {**document, "revision": 2, "note": "Ring before sending."}
    use = {**document["use"], "rider_kg": document["use"]["rider_kg"] - 2.0}
    return {**document, "revision": 2, "use": use}


def _builds(serial: str, documents: list[JSON], names: Iterator[str]) -> Script:
    """A wheel's steps and passes, one after the other."""

    def run(sender: Sender) -> None:
        while documents:
            document = documents.pop(0)
            kind = "step" if "station" in document else "pass"
            key = next(names)
            path = f"/api/v1/wheels/{serial}/{'steps' if kind == 'step' else 'readings'}"
            sender.send(Post(kind, path, _raw({**document, "key": key}), key))

    return run


def _publishes(sender: Sender, version: int, name: str) -> None:
    """A draft becomes an edition. What a kill leaves open is discarded before the next round."""
    body = _raw({"author": "A. Author", "approver": "B. Second", "reason": name})
    headers = {"If-Match": f'"{version}"'}
    sender.send(Post("publish", "/api/v1/catalog/draft/publish", body, name, headers=headers))


def to_build(workshop: Workshop, serial: str) -> list[JSON]:
    """The documents of a wheel's first day at the stand: every station until lacing, and two passes."""
    view = bench_of_serial(workshop, serial)
    if view is None:
        raise LookupError(serial)
    common = {"issue": view.task.issue, "by": "W. Builder"}
    return [{**common, **each} for each in (*_stations(view), _pass(view), _pass(view, 0.3))]


def _stations(view: BenchView) -> tuple[JSON, ...]:
    plan, rim, serial = view.plan, view.stand.rim, view.wheel.stored.serial
    scanned = [
        {"part": each.part, "count": each.count + each.spare, "batch": "B41"} for each in plan.pick
    ]
    return (
        {
            "station": "rim-gate",
            "rim_serial": f"R-{serial}",
            "batch": "L7",
            "mass_g": rim.mass_g + 2,
            "lateral_mm": 0.2,
            "radial_mm": 0.3,
            "diameter_of": "erd",
            "diameters_mm": [plan.erd_mm] * 4,
        },
        {"station": "kit", "scanned": scanned, "bagged_apart": True},
        {
            "station": "first-spoke",
            "left_mm": plan.spokes.left.stock_mm,
            "right_mm": plan.spokes.right.stock_mm,
        },
        {
            "station": "half-way",
            "as_picture": True,
            "label_at_valve": True,
            "bed_as_arrow": True,
        },
    )


def _pass(view: BenchView, lateral_mm: float = 0.14) -> JSON:
    task, serial = view.task, view.wheel.stored.serial
    return {
        "rim_serial": f"R-{serial}",
        "hub_serial": f"H-{serial}",
        "tension": {
            "gauge": "G1",
            "unit": "n",
            "typed": [round(task.target_n[side]) for side in task.sides],
        },
        "lateral": {"given_as": "full", "typed_mm": lateral_mm},
        "radial": {"given_as": "full", "typed_mm": 0.22},
        "dish": {"given_as": "offset", "typed_mm": 0.1, "toward": "left"},
        "mass_g": round(task.mass_g) + 3,
        "caps_fitted": True,
        "threads": ["in"] * 8,
        "free_play": False,
        "twisted": False,
        "relief_rounds": 3,
    }


def _raw(document: JSON) -> bytes:
    return json.dumps(document).encode()
