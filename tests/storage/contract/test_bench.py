"""What was done at the stations and read at the stand, gauges, and who is called back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.storage import bench, bench_figures, gauges, recall
from buildsheet.storage.bench import StoredPass, StoredSignature, StoredStep
from buildsheet.storage.gauges import StoredCheck, StoredTable
from buildsheet.storage.recall import Part
from tests.storage.contract.engines import Engine, Store
from tests.storage.contract.furnished import ALONE, EVENING, FRONT, LATER, NOON, REAR

STEP = StoredStep(FRONT, "A", "kit", "k1", True, "M. K.", NOON, "{}", '{"good":true}')
PASS = StoredPass(
    FRONT, 1, "A", "k1", "G1", "rework", False, "M. K.", NOON, '{"mass_g":641}', '{"findings":[]}'
)
SIGNED = StoredSignature(FRONT, 1, "k1", "pass", "", "S. S.", NOON)
TABLE = StoredTable("G1", "SJB9", "v1", "2031-01-10", "2032-01-10", 0.03, "[[8, 250]]", "A", NOON)
CHECK = StoredCheck("G1", "2031-05-01", True, "", "M. K.", NOON)
STOPPED = '{"findings":[{"code":"a","severity":"block"},{"code":"b","severity":"note"}]}'


def test_steps_come_back_in_their_order_as_they_were_sent(workshop: Store):
    bad = replace(STEP, key="k2", good=False)
    with workshop.writing() as section:
        bench.insert_step(section, STEP)
        bench.insert_step(section, bad)
        assert bench.steps_of(section, FRONT) == (STEP, bad)
        assert bench.steps_of(section, REAR) == ()
        assert bench.step_by_key(section, FRONT, "k2") == bad
        assert bench.step_by_key(section, REAR, "k2") is None


def test_passes_and_signatures_come_back_by_number(workshop: Store):
    second = replace(PASS, number=2, key="k2", word="pass", may_remark=True, read_at=LATER)
    with workshop.writing() as section:
        for each in (PASS, second):
            bench.insert_pass(section, each)
        bench.insert_signature(section, replace(SIGNED, number=2))
        assert bench.passes_of(section, FRONT) == (PASS, second)
        assert bench.pass_by_key(section, FRONT, "k2") == second
        assert bench.pass_by_key(section, FRONT, "k3") is None
        assert bench.signatures_of(section, FRONT) == (replace(SIGNED, number=2),)


def test_of_each_wheel_the_newest_pass_that_was_judged_has_the_last_word(workshop: Store):
    with workshop.writing() as section:
        for each in (
            PASS,
            replace(PASS, number=2, key="k2", word="stop"),
            replace(PASS, number=3, key="k3", word="not-judged"),
            replace(PASS, serial=REAR, word="stop"),
            replace(PASS, serial=REAR, number=2, key="k2", word="pass"),
            replace(PASS, serial=ALONE, word="not-judged"),
        ):
            bench.insert_pass(section, each)
        words = ((FRONT, 2, "stop"), (REAR, 2, "pass"))
        assert bench.last_words(section, (FRONT, ALONE, REAR)) == tuple(sorted(words))
        assert bench.last_words(section, (ALONE,)) == ()
        assert bench.last_words(section, ()) == ()


@pytest.mark.parametrize("again", [PASS, replace(PASS, number=2), replace(PASS, key="k2")])
def test_a_number_and_a_key_are_one_passes(engine: Engine, workshop: Store, again: StoredPass):
    with workshop.writing() as section:
        bench.insert_pass(section, PASS)
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        bench.insert_pass(section, again)


def test_nobody_signs_a_pass_that_was_not_read(engine: Engine, workshop: Store):
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        bench.insert_signature(section, SIGNED)


def test_a_recall_names_each_wheel_once_the_newest_first(workshop: Store):
    with workshop.writing() as section:
        for serial in (FRONT, ALONE, REAR):
            bench.insert_batch(section, serial, "rim-batch", "L7", NOON)
            for number in (1, 2):
                each = replace(PASS, serial=serial, number=number, key=f"k{number}")
                bench.insert_pass(section, each)
        bench.insert_batch(section, FRONT, "rim-batch", "L7", NOON)
        bench.insert_step(section, replace(STEP, serial=REAR, done_by="J. P."))
        bench.insert_signature(section, replace(SIGNED, serial=ALONE, signed_by="J. P."))
        every = (ALONE, REAR, FRONT)
        assert bench.batches_of(section, FRONT) == (("rim-batch", "L7"),) * 2
        assert recall.with_batch(section, "rim-batch", "L7") == every
        assert recall.with_batch(section, "rim-batch", "L8") == ()
        assert recall.read_with(section, "G1") == every
        assert recall.read_with(section, "G1", Part(1)) == (ALONE,)
        assert recall.read_with(section, "G1", Part(2, ALONE)) == (REAR, FRONT)
        assert recall.of_person(section, "M. K.") == every
        assert recall.of_person(section, "J. P.") == (ALONE, REAR)
        assert recall.of_person(section, "J. P.", Part(1)) == (ALONE,)
        assert recall.of_person(section, "J. P.", Part(5, ALONE)) == (REAR,)
        assert recall.under_edition(section, 16, Part(2)) == (ALONE, REAR)
        assert recall.under_edition(section, 15) == ()


def test_the_newest_table_of_a_gauge_and_spoke_counts(engine: Engine, workshop: Store):
    newer, other = replace(TABLE, version="v2"), replace(TABLE, spoke="SJ15")
    with workshop.writing() as section:
        for each in (TABLE, other, newer):
            gauges.insert_table(section, each)
        assert gauges.newest_tables(section) == (other, newer)
        assert gauges.table(section, "G1", "SJB9", "v1") == TABLE
        assert gauges.table(section, "G1", "SJB9", "v3") is None
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        gauges.insert_table(section, TABLE)


def test_the_last_check_of_a_day_or_before_it_counts(workshop: Store):
    failed = replace(CHECK, good=False, note="2 % low", checked_at=LATER)
    with workshop.writing() as section:
        assert gauges.last_check(section, "G1", "2031-05-01") is None
        gauges.insert_check(section, CHECK)
        assert gauges.last_check(section, "G1", "2031-05-01") == CHECK
        gauges.insert_check(section, failed)
        gauges.insert_check(section, replace(CHECK, day="2031-05-03"))
        assert gauges.last_check(section, "G1", "2031-05-02") == failed
        assert gauges.last_check(section, "G1", "2031-04-30") is None


def test_of_each_wheel_the_first_pass_that_was_judged_counts(workshop: Store):
    with workshop.writing() as section:
        for each in (
            replace(PASS, word="not-judged"),
            replace(PASS, number=2, key="k2", answer=STOPPED, read_at=LATER),
            replace(PASS, number=3, key="k3", word="pass", read_at=EVENING),
            replace(PASS, serial=REAR, word="pass", answer=STOPPED, read_at=EVENING),
        ):
            bench.insert_pass(section, each)
        assert bench_figures.first_judged_since(section, NOON) == (
            (REAR, 1, EVENING, "pass", ()),
            (FRONT, 2, LATER, "rework", ("a",)),
        )
        assert len(bench_figures.first_judged_since(section, EVENING)) == 1


def test_of_each_wheel_the_newest_mass_counts_against_its_plan(workshop: Store):
    with workshop.writing() as section:
        for each in (
            PASS,
            replace(PASS, number=2, key="k2", document='{"mass_g":642.5}', read_at=LATER),
            replace(PASS, number=3, key="k3", document='{"mass_g":null}', read_at=EVENING),
            replace(PASS, serial=REAR, document="{}"),
            replace(PASS, serial=ALONE, read_at=EVENING),
        ):
            bench.insert_pass(section, each)
        assert bench_figures.weighed(section) == (
            (ALONE, 640.5, 641.0),
            (FRONT, 640.5, 642.5),
        )
