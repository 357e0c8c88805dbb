"""One draft at a time, edited under its version, wrong for a while if need be, its history kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.actions.desk.draft import (
    Draft,
    DraftOpen,
    EditRefused,
    NoDraft,
    StaleDraft,
    begin,
    change,
    discard,
    drop_part,
    drop_rule,
    history,
    put_house,
    put_part,
    put_rule,
    replace_texts,
    the_draft,
)
from buildsheet.actions.desk.people import NoName
from buildsheet.actions.editions import NoEdition, edition_texts, running_edition
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.amending.edits import DropPart, PutHouse, PutPart
from buildsheet.catalog.clone import as_values
from buildsheet.catalog.differences import differences
from buildsheet.findings import Change
from tests.workshops import published

BY = "A. Author"


@pytest.fixture
def draft(workshop: Workshop) -> Draft:
    return begin(workshop, BY)


def test_a_draft_is_the_newest_edition_under_the_next_number(workshop: Workshop, draft: Draft):
    assert (draft.number, draft.based_on, draft.version) == (17, 16, 1)
    assert draft.edition is not None
    assert not differences(running_edition(workshop), draft.edition)
    assert the_draft(workshop) == draft
    texts = edition_texts(workshop)
    assert {name for name in texts if texts[name] != draft.texts[name]} == {"house.toml"}


def test_there_is_no_draft_before_one_is_begun_and_none_without_an_edition(
    workshop: Workshop, empty_workshop: Workshop
):
    assert the_draft(workshop) is None
    assert history(workshop) == ()
    with pytest.raises(NoDraft):
        put_house(workshop, "tension.gauge_error", 0.04, version=None, by=BY)
    with pytest.raises(NoEdition):
        begin(empty_workshop, BY)


def test_there_is_one_draft_at_a_time(workshop: Workshop, draft: Draft):
    with pytest.raises(DraftOpen, match=r"A\. Author"):
        begin(workshop, "somebody else")


def test_an_edit_makes_the_next_version_and_leaves_what_runs_alone(
    workshop: Workshop, draft: Draft
):
    before = running_edition(workshop)
    rim = as_values(before.rims["OR33D"]) | {"name": "another"}
    after = put_part(workshop, "rims", "OR33D", rim, version=draft.version, by="B. Second")
    assert (after.version, after.changed_by, after.number) == (draft.version + 1, "B. Second", 17)
    assert after.edition is not None
    assert after.edition.rims["OR33D"].name == "another"
    assert running_edition(workshop) is before


def test_an_edit_from_an_older_version_is_refused_with_what_changed_since(
    workshop: Workshop, draft: Draft
):
    put_house(workshop, "tension.gauge_error", 0.04, version=draft.version, by="B. Second")
    with pytest.raises(StaleDraft, match=r"B\. Second: tension\.gauge_error = 0\.04") as stale:
        drop_part(workshop, "SJB12", version=draft.version, by=BY)
    assert (stale.value.version, stale.value.standing) == (draft.version, draft.version + 1)
    assert [each.says for each in stale.value.since] == ["tension.gauge_error = 0.04"]
    after = the_draft(workshop)
    assert after is not None
    assert after.edition is not None
    assert "SJB12" in after.edition.spokes


def test_a_version_of_a_draft_that_is_closed_is_stale_in_the_next_one(
    workshop: Workshop, draft: Draft
):
    discard(workshop, version=draft.version, by=BY)
    with pytest.raises(StaleDraft, match="closed"):
        drop_part(workshop, "SJB12", version=draft.version, by=BY)
    again = begin(workshop, BY)
    assert again.version > draft.version + 1
    with pytest.raises(StaleDraft, match="discarded"):
        drop_part(workshop, "SJB12", version=draft.version, by=BY)


def test_a_faulty_draft_is_kept_and_says_every_fault(workshop: Workshop, draft: Draft):
    edit = PutPart("OR33D", values={"seat_diameter_mm": 57.36, "depht_mm": 33.0})
    changed = change(workshop, (edit,), version=draft.version, by=BY)
    assert changed.draft is not None
    assert changed.draft.edition is None
    assert {each.code for each in changed.findings} == {"data.out-of-range", "data.unknown-key"}
    at = "/parts/rims.toml/OR33D/seat_diameter_mm"
    assert Change(at, (573.6,)) in [way for each in changed.findings for way in each.try_]
    mended = PutPart("OR33D", values={"seat_diameter_mm": 573.6, "depht_mm": None})
    again = change(workshop, (mended,), version=changed.draft.version, by=BY)
    assert again.findings == ()
    assert again.draft is not None
    assert again.draft.edition is not None


def test_a_list_of_edits_is_made_whole_or_not_at_all(workshop: Workshop, draft: Draft):
    edits = (PutHouse("tension.gauge_error", 0.04), DropPart("OR99"))
    changed = change(workshop, edits, version=draft.version, by=BY)
    assert changed.draft is None
    assert [each.at for each in changed.findings] == ["/1/drop_part"]
    assert the_draft(workshop) == draft
    with pytest.raises(EditRefused, match="OR99"):
        drop_part(workshop, "OR99", version=draft.version, by=BY)


def test_rules_are_written_and_taken_out(workshop: Workshop, draft: Draft):
    assert draft.edition is not None
    rule = as_values_of_rule(draft, "one-nipple-colour") | {"severity": "note"}
    after = put_rule(workshop, "one-nipple-colour", rule, version=draft.version, by=BY)
    assert after.edition is not None, after.findings
    assert after.edition.rules["one-nipple-colour"].severity == "note"
    again = put_rule(workshop, "another", rule, version=after.version, by=BY, subject="sales")
    assert again.edition is not None, again.findings
    assert "rules/sales.toml" in again.texts
    gone = drop_rule(workshop, "another", version=again.version, by=BY)
    assert gone.edition is not None
    assert gone.edition.rules == after.edition.rules


def as_values_of_rule(draft: Draft, name: str) -> dict[str, Any]:
    assert draft.edition is not None
    dumped = draft.edition.rules[name].model_dump(exclude={"id"}, exclude_none=True)
    lists = {key: [dict(each) for each in dumped[key]] for key in ("accepts", "refuses")}
    return dumped | lists


def test_a_number_that_is_taken_is_a_fault_of_the_draft(workshop: Workshop, draft: Draft):
    after = put_house(workshop, "edition", 16, version=draft.version, by=BY)
    assert [each.code for each in after.findings] == ["data.edition-frozen"]
    assert after.edition is None
    after = put_house(workshop, "edition", 15, version=after.version, by=BY)
    assert [each.code for each in after.findings] == ["data.edition-older"]
    after = put_house(workshop, "edition", 20, version=after.version, by=BY)
    assert (after.findings, after.number) == ((), 20)


def test_files_can_be_replaced_whole_even_by_faulty_ones(workshop: Workshop, draft: Draft):
    texts = dict(draft.texts)
    del texts["parts/rims.toml"]
    texts["parts/hubs.toml"] = "[KF1\n"
    after = replace_texts(workshop, texts, BY, version=draft.version)
    assert dict(after.texts) == texts
    assert {each.code for each in after.findings} >= {"data.missing-file", "data.syntax"}
    with pytest.raises(EditRefused, match="no TOML"):
        put_part(workshop, "hubs", "KF1", {}, version=after.version, by=BY)


def test_the_history_says_who_did_what_and_when(workshop: Workshop, draft: Draft):
    change(
        workshop,
        (PutPart("OR33D", values={"name": "x"}), DropPart("SJB12")),
        version=draft.version,
        by="  B.  Second ",
    )
    first, second = history(workshop)
    assert (first.deed, first.says) == ("begun", "begun as a copy of edition 16")
    assert (second.deed, second.changed_by) == ("edited", "B. Second")
    assert second.says == 'OR33D: name = "x"; SJB12 taken out'
    assert second.edits == ({"part": "OR33D", "set": {"name": "x"}}, {"drop_part": "SJB12"})
    assert second.changed_at == "2031-05-01T08:00:00.000Z"


@pytest.mark.parametrize("name", ["", "  ", "a" * 61, "a\x00b", "\u202e"])
def test_nobody_edits_without_a_name(workshop: Workshop, draft: Draft, name: str):
    with pytest.raises(NoName):
        put_house(workshop, "tension.gauge_error", 0.04, version=draft.version, by=name)
    assert the_draft(workshop) == draft


def test_two_who_edit_the_same_version_do_not_both_win(workshop: Workshop, draft: Draft):
    other = open_workshop(workshop.path, clock=workshop.clock)
    put_house(other, "tension.gauge_error", 0.04, version=draft.version, by="other")
    other.close()
    with pytest.raises(StaleDraft):
        put_house(workshop, "tension.gauge_error", 0.05, version=draft.version, by=BY)


def test_an_edit_that_breaks_off_leaves_the_draft_as_it_was(
    workshop: Workshop, draft: Draft, monkeypatch: pytest.MonkeyPatch
):
    def broken() -> None:
        raise RuntimeError("no clock")

    stopped = replace(workshop, clock=broken)  # type: ignore[arg-type]
    with pytest.raises(RuntimeError, match="no clock"):
        put_house(stopped, "tension.gauge_error", 0.04, version=draft.version, by=BY)
    assert the_draft(workshop) == draft


@pytest.mark.parametrize("table", ["draft_edits", "draft_files", "edition_papers"])
def test_what_was_written_is_never_edited(workshop: Workshop, draft: Draft, table: str):
    def run(sql: str) -> None:
        with workshop.database.writing() as section:
            section.run(sql)

    column = "reason" if table == "edition_papers" else "version"
    with pytest.raises(sqlite3.IntegrityError, match="only appended to"):
        run(f"update {table} set {column} = {column}")
    with pytest.raises(sqlite3.IntegrityError, match="only appended to"):
        run(f"delete from {table}")


def test_a_new_draft_begins_from_an_edition_that_has_yet_to_start(workshop: Workshop):
    texts = edition_texts(workshop)
    house = texts["house.toml"].replace("gauge_error = 0.03", "gauge_error = 0.04")
    later = published(workshop, {**texts, "house.toml": house}, "2031-06-01T06:00:00Z")
    assert running_edition(workshop).number == 16
    draft = begin(workshop, BY)
    assert (draft.number, draft.based_on) == (18, 17)
    assert draft.edition is not None
    assert not differences(later, draft.edition)


def test_the_history_tells_which_keys_of_a_whole_part_are_new(workshop: Workshop, draft: Draft):
    spoke = as_values(running_edition(workshop).spokes["SJ18"])
    heavier = {**spoke, "system_limit_kg": 90.0}
    changed = put_part(workshop, "spokes", "SJ18", heavier, version=draft.version, by=BY)
    lighter = {key: each for key, each in heavier.items() if key != "system_limit_kg"}
    again = put_part(workshop, "spokes", "SJ18", lighter, version=changed.version, by=BY)
    put_part(workshop, "spokes", "SJ18", lighter, version=again.version, by=BY)
    assert [each.says for each in history(workshop)][1:] == [
        "SJ18: system_limit_kg = 90",
        "SJ18: system_limit_kg left out",
        "SJ18: saved as it was",
    ]
