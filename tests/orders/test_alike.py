"""What is remembered of other orders is what would have been said of this one."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders import alike, ways_out
from buildsheet.orders.alike import as_key, views
from buildsheet.orders.changes import Changes, changed, values_at
from buildsheet.orders.check import check, check_document
from buildsheet.orders.checks import QUESTIONS
from buildsheet.orders.judging import Judgement, key_of
from buildsheet.orders.search import Search
from buildsheet.orders.text import sift
from buildsheet.orders.trial import RANK, Trial, Trials, put
from buildsheet.remembered import Remembered
from tests.orders.speaking import SPEAKING
from tests.orders.test_work import WRONG, everywhere
from tests.orders.workshop import ABSENT, Document, demo, disc_set, front_only
from tests.orders.workshop import put as put_in

TRIED = (
    *("/front/rim", "/front/holes", "/front/hub", "/front/crossings", "/front/crossings/left"),
    *(
        "/front/spoke",
        "/front/spoke/left",
        "/rear/spoke/right",
        "/rear/hub",
        "/rear/driver",
        "/rear/washer",
        "/kind",
    ),
    *("/front", "/rear", "/use/brake", "/use/rotor_mount", "/use/front_axle", "/market"),
    *("/finish/decal_colour", "/finish/decal_size", "/use/tyre_system", "/rear/nipple"),
)


@pytest.fixture(autouse=True)
def nothing_known() -> Iterator[None]:
    alike.forget()
    ways_out.forget()
    yield
    alike.forget()
    ways_out.forget()


def orders(dice: Random, count: int) -> Iterator[Document]:
    """The demo's orders with other parts, other uses and nonsense in them, a few places each."""
    edition = demo()
    offered: dict[str, list[Any]] = {
        "rim": [*edition.rims, "OR99X", ABSENT],
        "hub": [*edition.hubs, "KF99"],
        "holes": [20, 24, 28, 32, 24.0, "24", ABSENT],
        "nipple": [*edition.nipples, None],
        "washer": [None, *edition.washers],
        "spoke": [
            *(
                {"left": each, "right": other}
                for each in edition.spokes
                for other in edition.spokes
            ),
            {},
            3,
        ],
        "crossings": [{"left": 2, "right": 2}, {"left": 0}, None, ABSENT, {"left": 0, "right": 3}],
    }
    of_order: dict[str, list[Any]] = {
        "/use/rider_kg": [60, 60.0, 110, 150.5, "x", ABSENT],
        "/use/brake": ["disc", "rim", True],
        "/use/rotor_mount": ["none", "splined", ABSENT, 1],
        "/use/front_axle": ["12x100", "9x100", ABSENT, 12],
        "/use/class": [1, 3, 1.0, True],
        "/use/tyre_width_mm": [28, 23, 60],
        "/kind": ["set", "front", "rear", "both"],
        "/note": ["x", "", 5],
        "/number": ["N-1", "N 1"],
        "/odd": [1],
    }
    for number in range(count):
        changes: dict[str, Any] = {"/number": f"N-{number}"}
        document = front_only() if dice.random() < 0.2 else disc_set()
        for _ in range(dice.randrange(1, 6)):
            if dice.random() < 0.4:
                at = dice.choice([*of_order])
                changes[at] = dice.choice(of_order[at])
                continue
            wheel = dice.choice([each for each in ("front", "rear") if each in document])
            member = dice.choice([*offered])
            changes[f"/{wheel}/{member}"] = dice.choice(offered[member])
        yield put_in(document, changes)


def one_change_each(dice: Random, document: Document, edition: Edition) -> Iterator[Changes]:
    for at in TRIED:
        values = values_at(at, edition, document)
        if values:
            yield ((at, dice.choice(values)),)
    yield ("/front/rim", "OR33D"), ("/front/holes", 24)
    yield ("/rear/spoke/left", "SJB12"), ("/rear/spoke/right", "SJB12"), ("/rear/crossings", None)


def require_trials_to_say_what_the_whole_judgement_says(
    document: Document, edition: Edition, dice: Random
) -> None:
    before = Judgement(sift(document), edition)
    trials = Trials(before)
    for changes in one_change_each(dice, document, edition):
        trial, after = Trial(trials, put(changes)), before.after(changes)
        for question in QUESTIONS:
            said = [
                (key_of(each.finding), RANK[each.finding.severity])
                for each in after.answer(question)
            ]
            assert [*trial.said(question)] == said, (question.check, changes)


def test_what_was_said_of_others_is_what_is_said_here():
    dice = Random(5)
    for document in orders(dice, 25):
        require_trials_to_say_what_the_whole_judgement_says(document, demo(), dice)
    assert len(views(demo()).known._young) > 1000


@pytest.mark.parametrize("value", WRONG, ids=repr)
def test_so_it_is_of_nonsense_after_what_is_sound(value: Any):
    dice = Random(6)
    require_trials_to_say_what_the_whole_judgement_says(disc_set(), demo(), dice)
    require_trials_to_say_what_the_whole_judgement_says(everywhere(value), demo(), dice)


def test_so_it_is_under_every_edition_by_itself():
    dice = Random(7)
    for speaking in [*SPEAKING.values()][::6]:
        document = speaking.order()
        if isinstance(document, dict):
            edition = speaking.edition()
            require_trials_to_say_what_the_whole_judgement_says(document, edition, dice)


def test_answers_stay_the_same_letter_by_letter_whatever_was_asked_before():
    given = [*orders(Random(8), 40)]
    fresh = []
    for document in given:
        alike.forget()
        ways_out.forget()
        fresh.append(check_document(document, demo()).as_json())
    alike.forget()
    for _ in range(2):
        assert [check_document(each, demo()).as_json() for each in given] == fresh
    ways_out.forget()
    assert [check_document(each, demo()).as_json() for each in reversed(given)] == fresh[::-1]


@pytest.fixture
def searched(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often ways out were looked for, and how often a changed order was asked something."""
    counted: Counter[str] = Counter()
    single, ask = Search.single, Trial._ask

    def counting_search(self: Search, *asked: Any) -> Any:
        counted["searches"] += 1
        return single(self, *asked)

    def counting_asks(self: Trial, question: Any) -> Any:
        counted["asked"] += 1
        return ask(self, question)

    monkeypatch.setattr(Search, "single", counting_search)
    monkeypatch.setattr(Trial, "_ask", counting_asks)
    return counted


WITHOUT_FIT: dict[str, Value] = {
    "/front/holes": 20,
    "/rear/spoke": {"left": "SSB9", "right": "SSB9"},
}


@pytest.mark.parametrize(
    "other",
    [
        {"/number": "N-2", "/source": "shop-z", "/revision": 3},
        {"/wanted_by": "2032-01-01", "/note": "Ring the bell."},
        {"/number": "no number!", "/note": "x" * 600, "/wanted_by": "never"},
        {"/odd": 1, "/price": 3},
    ],
    ids=" ".join,
)
def test_ways_out_of_orders_that_say_the_same_are_looked_for_once(
    other: Document, searched: Counter[str]
):
    order = put_in(disc_set(), WITHOUT_FIT)
    first = check_document(order, demo())
    assert searched["searches"] > 1
    searched.clear()
    second = check_document(put_in(order, other), demo())
    assert searched == {}
    said = {(each.code, each.at): each for each in second.findings}
    assert all(said[each.code, each.at] == each for each in first.findings)
    assert any(each.try_ for each in first.findings)
    ways_out.forget()
    assert check_document(put_in(order, other), demo()) == second


@pytest.mark.parametrize(
    "other",
    [
        {"/use/rider_kg": 71.25},
        {"/market": "US"},
        {"/rear/nipple": "x"},
        {"/edition_seen": 1},
        {"/finish/decal_size": "L"},
        {"/front/holes": "20"},
    ],
    ids=" ".join,
)
def test_what_an_order_says_that_a_search_may_see_is_searched_anew(
    other: Document, searched: Counter[str]
):
    order = put_in(disc_set(), WITHOUT_FIT)
    check_document(order, demo())
    searched.clear()
    check_document(put_in(order, other), demo())
    assert searched["searches"] > 1


def test_what_was_no_number_is_told_apart_from_what_was_not_there():
    order = put_in(disc_set(), {"/front/holes": "HERE"})
    missing = check_document(put_in(order, {"/front/holes": ABSENT}), demo())
    none = check(json.dumps(order).replace('"HERE"', "NaN").encode(), demo())
    for checked, code in ((missing, "order.missing-member"), (none, "order.not-a-number")):
        said = {each.code: each for each in checked.findings if each.at == "/front/holes"}
        assert said[code].try_
        assert len(said) == 1


def test_orders_that_differ_in_their_masses_are_asked_about_little_else(searched: Counter[str]):
    order = put_in(disc_set(), WITHOUT_FIT)
    check_document(order, demo())
    whole = searched["asked"]
    searched.clear()
    check_document(put_in(order, {"/use/rider_kg": 71.25}), demo())
    assert 0 < searched["asked"] < whole / 3


def test_every_member_that_a_question_sees_belongs_to_what_is_searched_but_the_note():
    roots = {place.split("/")[1] for place in views(demo()).places}
    assert roots - {"note"} <= set(ways_out.SEARCHED)


def test_the_memory_keeps_what_was_asked_for_and_not_more_than_it_may():
    kept = Remembered[int](100)
    for number in range(1000):
        kept.put(number, number)
        assert kept.get(0) == 0
    assert len(kept._young) + len(kept._old) <= 100
    assert kept.get(999) == 999
    assert kept.get(500) is None


def test_a_text_is_never_taken_for_an_object_that_is_written_like_it():
    assert as_key({"left": 2}, ()) != as_key(str({"left": 2}), ())
    assert as_key("x", ("/front",)) != as_key("x", ())
    assert changed({}, [("/a", 1)]) == {"a": 1}
