"""An order is taken once, whole, or not at all."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from buildsheet.actions.editions import NoEdition, edition_texts
from buildsheet.actions.intake import judged
from buildsheet.actions.serials import well_formed
from buildsheet.actions.show_order import show_order
from buildsheet.actions.show_wheel import show_wheel
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import events
from tests.workshops import EXAMPLES, MORNING, changed, counts, example, published, raw


def test_a_good_order_gets_numbers_wheels_sheets_and_an_event(workshop: Workshop):
    took = take_order(workshop, raw(example("D-1001")))
    assert took.outcome == "taken"
    assert took.answered is not None
    answer = json.loads(took.answered.text)
    assert (answer["number"], answer["revision"], answer["edition"]) == ("D-1001", 1, 16)
    assert answer["state"] == "accepted"
    assert [wheel["position"] for wheel in answer["wheels"]] == ["front", "rear"]
    assert all(well_formed(wheel["serial"]) for wheel in answer["wheels"])
    assert well_formed(answer["id"])
    assert answer["taken_at"] == "2031-05-01T08:00:00.000Z"
    assert list(answer["plans"]) == ["front", "rear"]
    with workshop.database.reading() as section:
        told = events.after(section, 0)
    assert [event.kind for event in told] == ["edition.loaded", "order.taken"]
    assert told[-1].sequence == answer["event"]
    assert told[-1].order_id == answer["id"]


def test_the_same_order_again_gets_the_first_answer_and_leaves_nothing(workshop: Workshop):
    order = example("D-1001")
    first = take_order(workshop, raw(order))
    before = counts(workshop)
    # Spaced and sorted otherwise, and with a null where a member may be absent: the same order.
    again = json.dumps({**dict(reversed(order.items())), "note": None}, indent=3).encode()
    second = take_order(workshop, again)
    assert second.outcome == "replayed"
    assert second.answered == first.answered
    assert counts(workshop) == before


def test_the_same_key_with_other_content_is_in_the_way_and_says_where(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    before = counts(workshop)
    other = example("D-1001", **{"/use/rider_kg": 77, "/rear/nipple_colour": "silver"})
    took = take_order(workshop, raw(other))
    assert took.outcome == "conflict"
    assert [finding.code for finding in took.findings] == ["order.duplicate"]
    assert took.findings[0].have["differs"] == ["/use/rider_kg", "/rear/nipple_colour"]
    assert (
        '(/use/rider_kg was 78.0 and is now 77.0; /rear/nipple_colour was "black" and is now "silver")'
        in took.findings[0].says
    )
    assert counts(workshop) == before


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"/note": "x" * 60}, 'now "' + "x" * 36 + "...)"),
        (
            {"/use/rider_kg": 77, "/use/bike_kg": 9, "/market": "FR", "/note": "x"},
            "; 1 more differs)",
        ),
        (
            {
                "/use/rider_kg": 77,
                "/use/bike_kg": 9,
                "/market": "FR",
                "/note": "x",
                "/use/luggage_kg": 1,
            },
            "; 2 more differ)",
        ),
    ],
    ids=["long", "four", "five"],
)
def test_what_differs_is_told_short(workshop: Workshop, changes: dict[str, object], says: str):
    take_order(workshop, raw(example("D-1001")))
    took = take_order(workshop, raw(example("D-1001", **changes)))
    assert says in took.findings[0].says


def test_another_revision_is_never_built_a_second_time(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    before = counts(workshop)
    took = take_order(workshop, raw(example("D-1001", **{"/revision": 2})))
    assert took.outcome == "conflict"
    assert [finding.code for finding in took.findings] == ["order.other-revision"]
    assert counts(workshop) == before


def test_a_refused_order_leaves_nothing(workshop: Workshop):
    before = counts(workshop)
    took = take_order(workshop, raw(example("D-1005")), "a-key")
    assert took.outcome == "refused"
    assert any(finding.blocks for finding in took.findings)
    assert counts(workshop) == before


def test_a_refused_order_may_come_again_corrected_under_its_key(workshop: Workshop):
    wrong = example("D-1001", **{"/front/holes": 20})
    assert take_order(workshop, raw(wrong), "key-1").outcome == "refused"
    assert take_order(workshop, raw(example("D-1001")), "key-1").outcome == "taken"


def test_a_repeated_key_gets_the_first_answer(workshop: Workshop):
    first = take_order(workshop, raw(example("D-1001")), "key-1")
    before = counts(workshop)
    second = take_order(workshop, raw(example("D-1001")), "key-1")
    assert (second.outcome, second.answered) == ("replayed", first.answered)
    assert counts(workshop) == before


def test_a_key_that_was_used_for_another_order_is_refused(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")), "key-1")
    before = counts(workshop)
    took = take_order(workshop, raw(example("D-1001", **{"/number": "D-9999"})), "key-1")
    assert took.outcome == "key-reused"
    assert [finding.code for finding in took.findings] == ["order.key-reused"]
    assert counts(workshop) == before


def test_another_source_may_use_the_same_key(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")), "key-1")
    other = example("D-1001", **{"/source": "shop-b"})
    assert take_order(workshop, raw(other), "key-1").outcome == "taken"


def test_a_new_key_for_a_known_order_is_remembered_for_it(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")), "key-1")
    assert take_order(workshop, raw(example("D-1001")), "key-2").outcome == "replayed"
    other = raw(example("D-1001", **{"/number": "D-9999"}))
    assert take_order(workshop, other, "key-2").outcome == "key-reused"


@pytest.mark.parametrize("table", ["order_revisions", "wheels", "sheets", "plans", "replies"])
def test_a_crash_at_any_table_takes_everything_back(workshop: Workshop, table: str):
    before = counts(workshop)
    with workshop.database.writing() as section:
        section.run(
            f"create temp trigger power_fails before insert on main.{table} "
            "begin select raise(abort, 'the power fails'); end"
        )
    with pytest.raises(Exception, match="the power fails"):
        take_order(workshop, raw(example("D-1001")), "key-1")
    assert counts(workshop) == before
    with workshop.database.writing() as section:
        section.run("drop trigger power_fails")
    took = take_order(workshop, raw(example("D-1001")), "key-1")
    assert took.outcome == "taken"
    # Numbers were given back as well: the first order is number one.
    assert took.answered is not None
    assert took.answered.order_id.startswith("A31-00001-")


def test_dice_that_break_take_everything_back(workshop: Workshop):
    def broken(count: int) -> bytes:
        raise RuntimeError(f"no {count} bytes of chance")

    before = counts(workshop)
    with pytest.raises(RuntimeError, match="20 bytes"):
        take_order(replace(workshop, chance=broken), raw(example("D-1001")))
    assert counts(workshop) == before


def test_an_edition_published_during_the_check_is_the_one_that_counts(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("edition = 16", "edition = 17", 1)
    judge = judged.judge

    def publish_and_check(*given):
        monkeypatch.setattr(judged, "judge", judge)
        answer = judge(*given)
        published(workshop, texts)
        return answer

    monkeypatch.setattr(judged, "judge", publish_and_check)
    took = take_order(workshop, raw(example("D-1001")))
    assert (took.outcome, took.edition) == ("taken", 17)


def test_an_edition_that_starts_during_the_check_is_the_one_that_counts(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    texts = edition_texts(workshop)
    published(workshop, texts, starts="2031-05-01T08:00:01Z")
    now = [MORNING]
    ticking = replace(workshop, clock=lambda: now[0])
    judge = judged.judge

    def check_until_it_starts(*given):
        answer = judge(*given)
        now[0] = MORNING + timedelta(seconds=1)
        return answer

    monkeypatch.setattr(judged, "judge", check_until_it_starts)
    took = take_order(ticking, raw(example("D-1001")))
    assert (took.outcome, took.edition) == ("taken", 17)


def test_an_order_keeps_its_edition_and_its_answer_when_a_new_one_starts(workshop: Workshop):
    first = take_order(workshop, raw(example("D-1001")))
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("edition = 16", "edition = 17", 1)
    assert published(workshop, texts).number == 17
    again = take_order(workshop, raw(example("D-1001")))
    assert again.outcome == "replayed"
    assert again.answered == first.answered


def test_an_order_that_needs_a_release_is_taken_on_hold(workshop: Workshop):
    order = on_hold_order()
    took = take_order(workshop, raw(order))
    assert took.outcome == "taken", [finding.says for finding in took.findings]
    assert took.answered is not None
    answer = json.loads(took.answered.text)
    assert (answer["state"], answer["needs_release"]) == ("on-hold", True)


def on_hold_order() -> dict[str, object]:
    """A front wheel whose spokes pass a neighbour's head closely: only after an approval by name."""
    order: dict[str, object] = json.loads(
        (EXAMPLES / "refused" / "lacing.head-clearance.json").read_text()
    )
    return order


def test_without_a_catalog_nothing_can_be_taken(empty_workshop: Workshop):
    with pytest.raises(NoEdition, match="no catalog edition is loaded"):
        take_order(empty_workshop, raw(example("D-1001")))


def test_what_is_shown_is_what_was_answered(workshop: Workshop):
    took = take_order(workshop, raw(example("D-1001", **{"/note": "für Jürgen"})))
    assert took.answered is not None
    view = show_order(workshop, took.answered.order_id)
    assert view is not None
    shown = view.as_json()
    assert shown.pop("document") == example("D-1001", **{"/note": "für Jürgen"})
    assert shown.pop("moves") == []
    assert shown == json.loads(took.answered.text)
    wheel = show_wheel(workshop, view.wheels[0].serial.lower().replace("-", " "))
    assert wheel is not None
    plans = shown["plans"]
    assert isinstance(plans, dict)
    assert json.loads(wheel.kept.document) == plans["front"]


def test_equal_wheels_share_one_plan(workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    plans = counts(workshop)["plans"]
    take_order(workshop, raw(example("D-1001", **{"/number": "D-2"})))
    assert counts(workshop)["plans"] == plans
    assert counts(workshop)["wheels"] == 4


POST = """
import json, sys
from pathlib import Path
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import open_workshop

workshop = open_workshop(Path(sys.argv[1]))
order = json.loads(Path(sys.argv[2]).read_text())
sys.stdin.readline()  # wait for the start
for number in range(8):
    order["number"] = f"N-{number}"
    took = take_order(workshop, json.dumps(order).encode(), f"key-{number}")
    print(took.outcome, took.answered.order_id, flush=True)
workshop.close()
"""


def test_two_processes_that_post_the_same_orders_at_once_make_each_once(
    workshop: Workshop, tmp_path: Path
):
    file = tmp_path / "order.json"
    file.write_bytes(raw(changed(example("D-1001"))))
    started = [
        subprocess.Popen(
            [sys.executable, "-c", POST, str(workshop.path), str(file)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    for process in started:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    said = [process.communicate(timeout=60)[0].split("\n") for process in started]
    assert [process.returncode for process in started] == [0, 0]
    for one, other in zip(said[0][:8], said[1][:8], strict=True):
        assert sorted([one.split()[0], other.split()[0]]) == ["replayed", "taken"]
        assert one.split()[1] == other.split()[1]
    assert counts(workshop)["orders"] == 8
    assert counts(workshop)["wheels"] == 16
