"""Movements and their sums, holds and how they end, lists that are posted once."""

from __future__ import annotations

import pytest

from buildsheet.storage import moves, stock
from buildsheet.storage.stock import Level, Movement, NewHold, StoredHold, StoredPosting
from tests.storage.contract.engines import Engine, Store
from tests.storage.contract.furnished import EVENING, FRONT, LATER, NOON, REAR, SET

RIM, HUB = "OR33D/24", "KF2/24"
CAME = (
    Movement("received", RIM, shelf_change=10, bin="R1"),
    Movement("expected", RIM, expected_change=5, due_on="2031-05-20"),
    Movement("expected", RIM, expected_change=2, due_on="2031-05-10"),
    Movement("received", HUB, shelf_change=3),
)


@pytest.fixture
def stocked(workshop: Store) -> Store:
    with workshop.writing() as section:
        stock.append(section, CAME, at=NOON, by="A", reason="a delivery")
    return workshop


def hold(store: Store, expires_at: str | None = EVENING) -> int:
    """The front wheel's rim and hub, set aside."""
    with store.writing() as section:
        new = NewHold(SET.id, FRONT, expires_at, {RIM: 1, HUB: 1})
        stock.set_aside(section, [new], at=NOON, by="the house")
        held = stock.hold_in_force(section, FRONT)
    assert held is not None
    return held.hold


def end(store: Store, number: int, state: str) -> None:
    with store.writing() as section:
        back = [Movement(state, item, held_change=-1, hold=number) for item in (RIM, HUB)]
        stock.append(section, back, at=LATER, by="the house", reason="over")
        stock.end_hold(section, number, state, LATER)


def test_nothing_is_kept_until_something_was_counted(store: Store):
    with store.writing() as section:
        assert not stock.kept(section)
        assert moves.stock_kept_since(section) is None
        assert stock.every_level(section) == ()
        stock.append(section, CAME, at=NOON, by="A")
        assert stock.kept(section)
        assert moves.stock_kept_since(section) == NOON


def test_sums_are_those_of_the_movements(stocked: Store):
    hold(stocked)
    with stocked.reading() as section:
        rim, hub = Level(RIM, 10, 1, 7, "R1"), Level(HUB, 3, 1, 0, "")
        assert stock.every_level(section) == (hub, rim)
        assert stock.levels(section, [RIM, "nothing"]) == {RIM: rim}
        assert stock.free(section, [RIM, HUB, "nothing"]) == {RIM: 9, HUB: 2}
        assert stock.sums(section) == {RIM: (10, 1, 7), HUB: (3, 1, 0)}


def test_numbers_of_movements_have_no_gaps(stocked: Store):
    with stocked.writing() as section:
        more = [Movement("received", RIM, shelf_change=1)] * 3
        assert stock.append(section, more, at=LATER, by="A") == len(CAME) + 3
        assert stock.levels(section, [RIM])[RIM].shelf == 13
        assert stock.levels(section, [RIM])[RIM].bin == "R1"


def test_deliveries_are_told_by_day_while_something_is_to_come(stocked: Store):
    with stocked.writing() as section:
        assert stock.announced(section) == {RIM: (("2031-05-10", 2), ("2031-05-20", 5))}
        stock.append(section, [Movement("called-off", RIM, expected_change=-7)], at=LATER, by="A")
        assert stock.announced(section) == {}


def test_nothing_is_held_below_nothing(engine: Engine, stocked: Store):
    with pytest.raises(engine.broken_rule), stocked.writing() as section:
        stock.append(section, [Movement("released", RIM, held_change=-1)], at=NOON, by="A")


def test_a_hold_counts_until_it_is_ended(stocked: Store):
    number = hold(stocked)
    with stocked.reading() as section:
        held = StoredHold(number, SET.id, FRONT, "held", NOON, EVENING, None)
        assert stock.hold_in_force(section, FRONT) == held
        assert stock.hold_in_force(section, REAR) is None
        assert stock.holds_of(section, SET.id) == (held,)
        assert stock.lines(section, number) == {HUB: 1, RIM: 1}
    end(stocked, number, "released")
    with stocked.reading() as section:
        assert stock.hold_in_force(section, FRONT) is None
        assert [each.state for each in stock.holds_of(section, SET.id)] == ["released"]
        assert stock.free(section, [RIM]) == {RIM: 10}


def test_a_wheel_has_one_hold_in_force(engine: Engine, stocked: Store):
    hold(stocked)
    with pytest.raises(engine.broken_rule):
        hold(stocked)


def test_a_hold_is_due_when_its_time_has_come(stocked: Store):
    number = hold(stocked)
    with stocked.writing() as section:
        assert not stock.is_due(section, LATER)
        assert stock.due(section, LATER) == ()
        assert stock.is_due(section, EVENING)
        assert [each.hold for each in stock.due(section, EVENING)] == [number]
        stock.set_expiry(section, number, None)
        assert not stock.is_due(section, EVENING)


def test_the_history_of_an_article_is_all_of_it_the_newest_first(stocked: Store):
    end(stocked, hold(stocked), "expired")
    hold(stocked)
    with stocked.reading() as section:
        kinds = [each.kind for each in stock.movements_of(section, RIM)]
        assert kinds == ["held", "expired", "held", "expected", "expected", "received"]
        for few in range(1, 7):
            newest = [each.kind for each in stock.movements_of(section, RIM, few)]
            assert newest == kinds[:few]
        assert stock.movements_of(section, "nothing") == ()


def test_a_posted_list_is_entered_once(engine: Engine, store: Store):
    posting = StoredPosting("sha256:b", "{}")
    with store.writing() as section:
        assert stock.posting(section, "k") is None
        stock.keep_posting(section, "k", posting, NOON)
        assert stock.posting(section, "k") == posting
    with pytest.raises(engine.broken_rule), store.writing() as section:
        stock.keep_posting(section, "k", posting, NOON)
