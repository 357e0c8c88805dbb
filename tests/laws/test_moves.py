"""Whatever was done to an order, cancelled before it is drilled it leaves the shelves as they were."""

from __future__ import annotations

import shutil
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.moves.cancel import cancel_order
from buildsheet.actions.moves.change import change_order
from buildsheet.actions.moves.move import move_order
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.shelf import disagreements, show_shelf
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.storage import orders
from tests.actions.bench.day import kit, rim_gate
from tests.workshops import Dice, answer_of, example, loaded_file, morning, raw

__all__ = ["loaded_file"]

DEEDS = ("hold", "approve", "release", "EMBER", "LAGOON", "silver", "black", "kit", "note")
SAID = {"by": "A. Maker", "reason": "A law is tried."}


def shelves(workshop: Workshop) -> dict[str, tuple[int, int]]:
    return {
        each.level.item: (each.level.shelf, each.level.held) for each in show_shelf(workshop).lines
    }


def do(workshop: Workshop, order: str, serial: str, deed: str) -> None:
    """One deed, whether or not it can be done from here."""
    if deed in ("hold", "approve", "release"):
        move_order(workshop, order, deed, raw(SAID))  # type: ignore[arg-type]
        return
    if deed == "kit":
        rim_gate(workshop, serial)
        kit(workshop, serial)
        return
    with workshop.database.reading() as section:
        stored = orders.by_id(section, order)
    assert stored is not None
    at = {"EMBER": "/finish/decal_colour", "LAGOON": "/finish/decal_colour", "note": "/note"}
    place = at.get(deed, "/front/nipple_colour")
    document = example("D-1010", **{"/revision": stored.revision + 1, place: deed})
    request = {**SAID, "old_revision": stored.revision, "order": document}
    change_order(workshop, order, raw(request))


@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(deeds=st.lists(st.sampled_from(DEEDS), max_size=6))
def test_what_is_cancelled_before_it_is_drilled_leaves_the_shelves_as_they_were(
    loaded_file: Path, tmp_path: Path, deeds: list[str]
):
    path = Path(shutil.copy(loaded_file, tmp_path / "workshop.db"))
    for left in tmp_path.glob("workshop.db-*"):
        left.unlink()
    workshop = open_workshop(path, clock=morning, chance=Dice())
    try:
        stock = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
        assert load_stock(workshop, stock, by="S. Keeper").outcome == "entered"
        before = shelves(workshop)
        answer = answer_of(take_order(workshop, raw(example("D-1010"))))
        for deed in deeds:
            do(workshop, answer["id"], answer["wheels"][0]["serial"], deed)
        cancelled = cancel_order(workshop, answer["id"], raw(SAID))
        assert cancelled.outcome == "done", cancelled.findings
        after = {item: sums for item, sums in shelves(workshop).items() if item in before}
        assert after == before
        assert disagreements(workshop) == ()
    finally:
        workshop.close()
