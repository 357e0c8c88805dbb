"""Orders that wait together are answered as if they had come one after the other."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.intake.asked import Asked
from buildsheet.actions.intake.decide import Became, take_together
from buildsheet.actions.intake.earlier import Took
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.shelf import disagreements, show_shelf
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.orders.reservation.shortage import Shelves
from buildsheet.storage.database import Database
from tests.workshops import Dice, Document, counts, example, morning, raw

Posted = tuple[Document, str | None]

MORNING_POST: tuple[Posted, ...] = (
    (example("D-1001"), "key-1"),
    (example("D-1003"), None),
    (example("D-1001"), "key-1"),
    (example("D-1001"), "key-2"),
    (example("D-1001", **{"/use/rider_kg": 70}), None),
    (example("D-1001", **{"/number": "N-1"}), "key-1"),
    (example("D-1001", **{"/number": "N-2", "/source": "shop-b"}), "key-1"),
    (example("D-1003", **{"/number": "N-3"}), None),
    (example("D-1003"), None),
)
# The hub was the last one.
BECAME = "taken taken replayed replayed conflict key-reused taken short replayed".split()


def stocked(file: Path) -> Workshop:
    """The demo workshop with the demo's shelves: one hub KF4/24 is left."""
    workshop = open_workshop(file, clock=morning, chance=Dice())
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
    return workshop


def together(
    workshop: Workshop, posted: Sequence[Posted], patch: pytest.MonkeyPatch
) -> list[Became]:
    """What becomes of orders that are judged while a commit is under way, and then taken by the next."""
    waiting: list[Asked] = []

    class Waits(Exception):
        pass

    def wait(self, work, asked):
        waiting.append(asked)
        raise Waits

    with patch.context() as under_way:
        under_way.setattr(Database, "bring", wait)
        for document, key in posted:
            with pytest.raises(Waits):
                take_order(workshop, raw(document), key)
    with workshop.database.writing() as section:
        return take_together(section, waiting)


def word(became: Became) -> str:
    if isinstance(became, Shelves):
        return "short"
    assert became is not None
    return became.outcome


def test_a_mornings_post_is_answered_together_as_one_by_one(
    loaded_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    one_by_one = stocked(Path(shutil.copy(loaded_file, tmp_path / "one.db")))
    singly = [take_order(one_by_one, raw(document), key) for document, key in MORNING_POST]
    at_once = stocked(Path(shutil.copy(loaded_file, tmp_path / "all.db")))
    became = together(at_once, MORNING_POST, monkeypatch)
    assert [took.outcome for took in singly] == BECAME
    assert [word(each) for each in became] == BECAME
    for took, each in zip(singly, became, strict=True):
        if isinstance(each, Took):
            assert each == took
    assert counts(at_once) == counts(one_by_one)
    assert show_shelf(at_once) == show_shelf(one_by_one)
    assert disagreements(at_once) == ()
    one_by_one.close()
    at_once.close()


def test_of_ten_orders_that_wait_for_the_last_hub_one_gets_it(
    workshop_file: Path, monkeypatch: pytest.MonkeyPatch
):
    workshop = stocked(workshop_file)
    posted = [(example("D-1003", **{"/number": f"N-{number}"}), None) for number in range(10)]
    became = together(workshop, posted, monkeypatch)
    assert [word(each) for each in became] == ["taken"] + ["short"] * 9
    shelves = [each for each in became if isinstance(each, Shelves)]
    # What the first one set aside is no way out for the others.
    assert {each.free["KF4/24"] for each in shelves} == {0}
    assert disagreements(workshop) == ()
    workshop.close()
