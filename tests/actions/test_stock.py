"""Parts are held whole or not at all, and the sums always agree with the movements."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.demo import examples_directory
from buildsheet.actions.show_order import show_order
from buildsheet.actions.stock import holds
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.move import Moved, take_movements
from buildsheet.actions.stock.shelf import disagreements, history, show_shelf
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop, stamp
from buildsheet.storage import events, stock
from tests.workshops import MORNING, Document, answer_of, counts, example, raw


@pytest.fixture
def stocked(workshop: Workshop) -> Workshop:
    """The demo workshop with the demo's shelves."""
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    moved = load_stock(workshop, text, by="S. Keeper")
    assert moved.outcome == "entered", moved.findings
    return workshop


def moved(workshop: Workshop, kind: str, part: str, pieces: int, **more: Any) -> Moved:
    document = {
        "key": f"key-{kind}-{part.replace('/', '-')}-{pieces}",
        "by": "S. Keeper",
        "reason": more.pop("reason", ""),
        "movements": [{"kind": kind, "part": part, "pieces": pieces, **more}],
    }
    return take_movements(workshop, raw(document))


def free(workshop: Workshop, part: str) -> int:
    return show_shelf(workshop, part).lines[0].level.free


def later(workshop: Workshop, hours: float) -> Workshop:
    return replace(workshop, clock=lambda: MORNING + timedelta(hours=hours))


def test_an_order_holds_the_pick_list_of_both_wheels_spares_included(stocked: Workshop):
    answer = answer_of(take_order(stocked, raw(example("D-1001"))))
    assert [hold["position"] for hold in answer["holds"]] == ["front", "rear"]
    assert {hold["expires_at"] for hold in answer["holds"]} == {"2031-05-04T08:00:00.000Z"}
    for hold in answer["holds"]:
        pick = answer["plans"][hold["position"]]["pick"]
        taken = {line["part"]: line["count"] + line.get("spare", 0) for line in pick}
        assert {part["part"]: part["count"] for part in hold["parts"]} == taken
    assert free(stocked, "SJB9/277") == 400 - 14
    assert free(stocked, "NA12/black") == 900 - (24 + 4 + 28 + 4)
    assert (free(stocked, "LAGOON-S-L"), free(stocked, "LAGOON-S-R")) == (10, 10)
    assert disagreements(stocked) == ()


def test_an_order_that_lacks_three_spokes_holds_nothing_and_is_told_all_about_it(
    stocked: Workshop,
):
    moved(stocked, "expected", "SSB9/267", 200, due_on="2031-05-15")
    before, shelf = counts(stocked), show_shelf(stocked)
    took = take_order(stocked, raw(example("D-1002")))
    assert (took.outcome, [each.code for each in took.findings]) == ("short", ["stock.short"])
    finding = took.findings[0]
    assert finding.says == (
        "SSB9/267 is short by 3: 12 to build and 2 spare, 11 free. Expected: 200 on 15 May 2031."
    )
    assert finding.at == "/front/spoke"
    assert finding.need == {"pieces": 14, "build": 12, "spare": 2, "short": 3}
    assert finding.have["expected"] == [{"on": "2031-05-15", "pieces": 200}]
    assert "KF2" in {changes.get("/front/hub") for changes in finding.together}
    assert counts(stocked) == before
    assert show_shelf(stocked) == shelf


def test_the_last_hub_goes_to_one_order_and_the_other_is_offered_another(stocked: Workshop):
    assert take_order(stocked, raw(example("D-1003"))).outcome == "taken"
    took = take_order(stocked, raw(example("D-1004")))
    assert took.outcome == "short"
    assert [(each.at, each.have["item"]) for each in took.findings] == [("/front/hub", "KF4/24")]
    assert "KF2" in {changes.get("/front/hub") for changes in took.findings[0].together}


def ways(order: Document, took: Any) -> list[Document]:
    """The order with each way out that its findings offer."""
    offered = []
    for finding in took.findings:
        sets = [dict(changes) for changes in finding.together]
        sets += [{change.at: value} for change in finding.try_ for value in change.values]
        offered += [put(order, changes) for changes in sets]
    return offered


def put(order: Document, changes: dict[str, Any]) -> Document:
    document: Document = json.loads(json.dumps(order))
    for at, value in changes.items():
        *above, last = at.lstrip("/").split("/")
        inner = document
        for name in above:
            inner = inner[name]
        inner[last] = value
    return document


@pytest.mark.parametrize("name", ["D-1002", "D-1004"])
def test_every_way_out_of_a_shortage_can_be_taken(stocked: Workshop, name: str):
    moved(stocked, "counted", "KF4/24", 1 if name == "D-1002" else 0, reason="counted")
    order = example(name)
    took = take_order(stocked, raw(order))
    offered = ways(order, took)
    assert offered
    for number, document in enumerate(offered):
        document["number"] = f"N-{number}"
        again = take_order(stocked, raw(document))
        assert again.outcome == "taken", again.findings
        with stocked.database.writing() as section:
            order_id = answer_of(again)["id"]
            holds.give_back(section, at="", by="a test", reason="", order_id=order_id)


def test_without_any_count_an_order_is_taken_and_says_that_nothing_is_held(workshop: Workshop):
    answer = answer_of(take_order(workshop, raw(example("D-1001"))))
    assert answer["holds"] == []
    assert "stock.not-kept" in [finding["code"] for finding in answer["findings"]]


def test_an_article_that_was_never_counted_is_short_once_stock_is_kept(workshop: Workshop):
    moved(workshop, "received", "KF4/24", 5)
    took = take_order(workshop, raw(example("D-1003")))
    said = {each.have["item"]: each.says for each in took.findings}
    assert "never counted here" in said["OR33D/24"]
    assert "KF4/24" not in said


def test_a_repeated_order_gets_its_first_holds_and_holds_nothing_more(stocked: Workshop):
    first = take_order(stocked, raw(example("D-1001")), "a-key")
    shelf = show_shelf(stocked)
    again = take_order(stocked, raw(example("D-1001")), "a-key")
    assert (again.outcome, again.answered) == ("replayed", first.answered)
    assert show_shelf(stocked) == shelf


def test_a_hold_runs_out_and_the_next_order_gets_the_part(stocked: Workshop):
    first = answer_of(take_order(stocked, raw(example("D-1003"))))
    assert take_order(later(stocked, 71.9), raw(example("D-1004"))).outcome == "short"
    assert take_order(later(stocked, 72.0), raw(example("D-1004"))).outcome == "taken"
    view = show_order(stocked, first["id"])
    assert view is not None
    assert view.as_json()["holds"] == []
    assert view.answer["holds"] == first["holds"]
    with stocked.database.reading() as section:
        told = [event.kind for event in events.after(section, 0)]
    assert told.count("stock.expired") == 1
    assert disagreements(stocked) == ()


def test_looking_at_the_shelves_sweeps_what_has_run_out(stocked: Workshop):
    take_order(stocked, raw(example("D-1003")))
    assert free(later(stocked, 1), "KF4/24") == 0
    assert free(later(stocked, 73), "KF4/24") == 1
    assert [each.kind for each in history(stocked, "KF4/24")] == ["expired", "held", "received"]


def test_a_confirmed_hold_lasts(stocked: Workshop):
    order_id = answer_of(take_order(stocked, raw(example("D-1003"))))["id"]
    with stocked.database.writing() as section:
        assert holds.confirm(section, order_id) == 1
    assert free(later(stocked, 1000), "KF4/24") == 0


def test_giving_back_one_wheel_leaves_the_other_held(stocked: Workshop):
    before = show_shelf(stocked)
    answer = answer_of(take_order(stocked, raw(example("D-1001"))))
    front, rear = (wheel["serial"] for wheel in answer["wheels"])
    given = {"at": "", "by": "S. Keeper", "reason": "cancelled", "order_id": answer["id"]}
    with stocked.database.writing() as section:
        assert holds.give_back(section, serial=front, **given) == 1
    assert (free(stocked, "KF2/24"), free(stocked, "KR2/28")) == (14, 8)
    with stocked.database.writing() as section:
        assert holds.give_back(section, serial=rear, **given) == 1
        assert holds.give_back(section, **given) == 0
    assert show_shelf(stocked) == before


def test_a_picked_kit_leaves_the_shelf_and_was_free_no_longer(stocked: Workshop):
    answer = answer_of(take_order(stocked, raw(example("D-1003"))))
    hold = answer["holds"][0]
    parts = {part["part"]: part["count"] for part in hold["parts"]}
    with stocked.database.writing() as section:
        holds.pick(section, hold["serial"], parts, at="", by="A. Builder")
        level = stock.levels(section, ["KF4/24"])["KF4/24"]
        assert (level.shelf, level.held, level.free) == (0, 0, 0)
        assert stock.hold_in_force(section, hold["serial"]) is None
    assert disagreements(stocked) == ()


def test_a_delivery_counts_against_what_was_announced_the_earliest_first(stocked: Workshop):
    moved(stocked, "expected", "KF4/24", 5, due_on="2031-05-20")
    moved(stocked, "expected", "KF4/24", 10, due_on="2031-05-12")
    moved(stocked, "received", "KF4/24", 8)
    line = show_shelf(stocked, "KF4/24").lines[0]
    assert line.level.free == 9
    assert line.coming == (("2031-05-12", 2), ("2031-05-20", 5))
    assert moved(stocked, "called-off", "KF4/24", 8, reason="late").outcome == "refused"
    assert moved(stocked, "called-off", "KF4/24", 7, reason="late").outcome == "entered"
    assert show_shelf(stocked, "KF4/24").lines[0].coming == ()


def test_what_came_in_for_an_announced_delivery_says_so_and_how_to_book_it_otherwise(
    stocked: Workshop,
):
    moved(stocked, "expected", "KF4/24", 5, due_on="2031-05-12")
    moved(stocked, "expected", "KF4/24", 10, due_on="2031-05-20")
    came = moved(stocked, "received", "KF4/24", 6)
    [note] = came.findings
    assert (note.code, note.severity, note.at) == ("stock.from-announced", "note", "/movements/0")
    assert note.says == (
        "KF4/24: 6 that came in count against what was announced (5 for 12 May 2031 and 1 for "
        "20 May 2031); 9 of it are still to come. If it was another delivery, announce 6 again for that "
        'day, and book the next one as not announced: "announced": false, at a terminal --unannounced.'
    )
    assert json.loads(came.answer)["findings"] == [note.as_json()]
    assert moved(stocked, "received", "KF4/24", 2, announced=False).findings == ()
    assert show_shelf(stocked, "KF4/24").lines[0].coming == (("2031-05-20", 9),)
    [last] = moved(stocked, "received", "KF4/24", 11).findings
    assert "KF4/24: 9 that came in count" in last.says
    assert "nothing more is expected" in last.says


def test_a_count_below_what_is_held_is_entered_and_said(stocked: Workshop):
    take_order(stocked, raw(example("D-1003")))
    entered = moved(stocked, "counted", "KF4/24", 0, reason="one was bent")
    assert (entered.outcome, [each.code for each in entered.findings]) == (
        "entered",
        ["stock.overdrawn"],
    )
    assert history(stocked, "KF4/24")[0].reason == "one was bent"


def test_a_crash_while_holding_takes_everything_back(stocked: Workshop):
    shelf, before = show_shelf(stocked), counts(stocked)
    with stocked.database.writing() as section:
        section.run(
            "create temp trigger power_fails before insert on main.stock_movements "
            "when new.item = 'NA12/black' begin select raise(abort, 'the power fails'); end"
        )
    with pytest.raises(Exception, match="the power fails"):
        take_order(stocked, raw(example("D-1001")))
    with stocked.database.writing() as section:
        section.run("drop trigger power_fails")
    assert (show_shelf(stocked), counts(stocked)) == (shelf, before)


def test_movements_are_only_appended(stocked: Workshop):
    for deed in ("update stock_movements set shelf_change = 1", "delete from stock_movements"):
        with (
            pytest.raises(Exception, match="only appended"),
            stocked.database.writing() as section,
        ):
            section.run(deed)


DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["take", "back", "confirm", "later", "count", "receive"]), st.integers(0, 5)
    ),
    min_size=1,
    max_size=12,
)


@pytest.fixture(scope="module")
def numbers() -> Callable[[], int]:
    given_out = iter(range(1_000_000))
    return lambda: next(given_out)


@settings(max_examples=25)
@given(deeds=DEEDS)
def test_whatever_is_done_the_sums_agree_and_nothing_free_is_promised_twice(
    tmp_path_factory: pytest.TempPathFactory, loaded_file: Path, deeds: list[tuple[str, int]]
):
    file = Path(shutil.copy(loaded_file, tmp_path_factory.mktemp("law") / "workshop.db"))
    now = [MORNING]
    opened = open_workshop(file, clock=lambda: now[0])
    try:
        text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
        load_stock(opened, text.replace("KF4,24,H04-24,1\n", "KF4,24,H04-24,2\n"), by="S.")
        taken: list[str] = []
        for step, (deed, number) in enumerate(deeds):
            _do(opened, now, taken, deed, number, step)
            level = show_shelf(opened, "KF4/24").lines[0].level
            with opened.database.reading() as section:
                in_force = [
                    each
                    for order_id in taken
                    for each in stock.holds_of(section, order_id)
                    if each.state == "held"
                ]
            assert level.held == len(in_force)
            assert disagreements(opened) == ()
    finally:
        opened.close()


def _do(
    opened: Workshop, now: list[datetime], taken: list[str], deed: str, number: int, step: int
) -> None:
    if deed == "take":
        free_now = show_shelf(opened, "KF4/24").lines[0].level.free
        took = take_order(opened, raw(example("D-1003", **{"/number": f"N-{step}"})))
        assert (took.outcome == "taken") == (free_now > 0)
        if took.answered:
            taken.append(took.answered.order_id)
    elif deed in ("back", "confirm") and taken:
        order_id = taken[number % len(taken)]
        with opened.database.writing() as section:
            if deed == "back":
                holds.give_back(section, at=stamp(now[0]), by="S.", reason="x", order_id=order_id)
            else:
                holds.confirm(section, order_id)
    elif deed == "later":
        now[0] += timedelta(hours=13 * number)
    elif deed in ("count", "receive"):
        kind = {"count": "counted", "receive": "received"}[deed]
        line = {"kind": kind, "part": "KF4/24", "pieces": number}
        document = {"key": f"list-{step:04}", "by": "S.", "reason": "why", "movements": [line]}
        take_movements(opened, raw(document))


RACE = """
import json, sys
from pathlib import Path
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import open_workshop

workshop = open_workshop(Path(sys.argv[1]))
order = json.loads(Path(sys.argv[2]).read_text())
sys.stdin.readline()  # wait for the start
for number in range(10):
    order["number"] = f"{sys.argv[3]}-{number}"
    took = take_order(workshop, json.dumps(order).encode())
    offers = all(each.try_ or each.together for each in took.findings if each.code == "stock.short")
    print(took.outcome, offers, flush=True)
workshop.close()
"""


def test_four_processes_that_race_for_ten_hubs_get_exactly_ten(stocked: Workshop, tmp_path: Path):
    moved(stocked, "received", "KF4/24", 9)
    file = examples_directory() / "D-1003.json"
    racers = [
        subprocess.Popen(
            [sys.executable, "-c", RACE, str(stocked.path), str(file), f"R{number}"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for number in range(4)
    ]
    for racer in racers:
        assert racer.stdin is not None
        racer.stdin.write("go\n")
        racer.stdin.flush()
    said = [line for racer in racers for line in racer.communicate(timeout=120)[0].splitlines()]
    assert [racer.returncode for racer in racers] == [0, 0, 0, 0]
    assert sorted(said) == ["short True"] * 30 + ["taken True"] * 10
    with stocked.database.reading() as section:
        level = stock.levels(section, ["KF4/24"])["KF4/24"]
    assert (level.shelf, level.held) == (10, 10)
    assert disagreements(stocked) == ()
