"""A draft becomes an edition, whole or not at all, and every reason against it is said at once."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_texts
from buildsheet.actions.desk.draft import (
    Draft,
    StaleDraft,
    begin,
    carry_over,
    change,
    put_house,
    the_draft,
)
from buildsheet.actions.desk.papers import list_editions, show_edition
from buildsheet.actions.desk.publish import Published, Refused, in_the_way, publish, roll_back
from buildsheet.actions.editions import edition_numbered, edition_texts, running_edition
from buildsheet.actions.load_catalog import load_texts
from buildsheet.actions.show_order import show_order
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.amending.edits import PutHouse, PutPart
from buildsheet.catalog.differences import differences
from buildsheet.catalog.reading import read_catalog
from buildsheet.storage import editions
from buildsheet.storage.editions import StoredEdition
from tests.workshops import answer_of, counts, example, raw

BY = "A. Author"
LIMIT = PutPart(
    "OR33D", values={"spoke_limit_n": 1200.0, "evidence.spoke_limit_n": "bed test BT-OR33D-2, 2031"}
)
NAME = PutPart("OR33D", values={"name": "Ondrel 33 disc"})


def drafted(workshop: Workshop, *edits: PutPart | PutHouse) -> Draft:
    draft = the_draft(workshop) or begin(workshop, BY)
    changed = change(workshop, edits, version=draft.version, by=BY)
    assert changed.draft is not None
    return changed.draft


def done(outcome: Published | Refused) -> Published:
    assert isinstance(outcome, Published), [each.says for each in outcome.findings]
    return outcome


def codes(outcome: Published | Refused) -> list[str]:
    assert isinstance(outcome, Refused)
    return [each.code for each in outcome.findings]


def test_an_edition_is_published_with_its_paper(workshop: Workshop):
    draft = drafted(workshop, LIMIT)
    published = done(
        publish(
            workshop,
            version=draft.version,
            author=BY,
            approver="B. Second",
            reason="The bed gave way at 1250 N.",
        )
    )
    assert published.in_force
    assert running_edition(workshop).number == 17
    assert running_edition(workshop).digest == published.edition.digest
    assert the_draft(workshop) is None
    newest, founding = list_editions(workshop)
    assert (newest.number, newest.standing) == (17, "running")
    assert newest.paper is not None
    assert (newest.paper.author, newest.paper.approver) == (BY, "B. Second")
    assert (newest.paper.based_on, newest.paper.reason) == (16, "The bed gave way at 1250 N.")
    assert founding.paper is not None
    assert (founding.standing, founding.paper.kind) == ("past", "founding")
    view = show_edition(workshop, 17)
    assert view is not None
    assert view.differences is not None
    assert [each.code for each in view.differences.parts] == ["OR33D"]
    assert view.differences == published.differences
    assert "becomes 1200" in view.second[0]


def test_an_edition_says_what_its_draft_said(workshop: Workshop):
    draft = drafted(workshop, NAME)
    assert draft.edition is not None
    done(publish(workshop, version=draft.version, author=BY, reason="a name"))
    assert not differences(draft.edition, running_edition(workshop))
    exported = edition_texts(workshop, 17)
    assert {name for name in exported if exported[name] != draft.texts[name]} == {"house.toml"}


def test_an_exported_edition_loads_back_with_the_same_digest(
    workshop: Workshop, empty_workshop: Workshop
):
    draft = drafted(workshop, LIMIT, NAME)
    published = done(publish(workshop, version=draft.version, author=BY, approver="B", reason="r"))
    loaded = load_texts(empty_workshop, edition_texts(workshop))
    assert loaded.edition is not None
    assert loaded.edition.digest == published.edition.digest
    assert load_texts(workshop, edition_texts(workshop, 17)).outcome == "known"


def test_a_change_that_breaks_nothing_needs_no_second_person(workshop: Workshop):
    draft = drafted(workshop, NAME)
    published = done(publish(workshop, version=draft.version, author=BY, reason="a name"))
    assert published.second == ()
    assert published.paper.approver is None


def test_every_reason_against_publishing_is_said_at_once(workshop: Workshop):
    draft = drafted(workshop, PutPart("OR33D", values={"spoke_limit_n": 1200.0}))
    before = counts(workshop)
    refused = publish(workshop, version=draft.version, author=" ", reason="", starts="tomorrow")
    assert set(codes(refused)) == {
        "data.author-missing",
        "data.reason-missing",
        "data.second-person",
        "data.starts-form",
        "data.unproved",
    }
    assert counts(workshop) == before
    assert the_draft(workshop) == draft


@pytest.mark.parametrize("approver", [BY, " a.  AUTHOR ", "\uff21. Author"])
def test_the_author_is_no_second_person_however_the_name_is_spelled(
    workshop: Workshop, approver: str
):
    draft = drafted(workshop, LIMIT)
    refused = publish(workshop, version=draft.version, author=BY, approver=approver, reason="r")
    assert codes(refused) == ["data.same-person"]


def test_a_faulty_draft_is_never_published(workshop: Workshop):
    draft = drafted(workshop, PutPart("OR33D", values={"seat_diameter_mm": 57.36}))
    refused = publish(workshop, version=draft.version, author=BY, approver="B", reason="r")
    assert codes(refused) == ["data.out-of-range"]
    assert [each.number for each in list_editions(workshop)] == [16]


def test_what_was_seen_is_what_is_published(workshop: Workshop):
    draft = drafted(workshop, NAME)
    drafted(workshop, PutPart("OR45D", values={"name": "x"}))
    with pytest.raises(StaleDraft):
        publish(workshop, version=draft.version, author=BY, reason="r")
    assert running_edition(workshop).number == 16


def test_an_edition_to_come_waits_for_its_start(workshop: Workshop):
    draft = drafted(workshop, NAME)
    starts = "2031-05-02T06:00:00+02:00"
    published = done(publish(workshop, version=draft.version, author=BY, reason="r", starts=starts))
    assert (published.in_force, published.edition.house.starts) == (False, starts)
    assert running_edition(workshop).number == 16
    assert [each.standing for each in list_editions(workshop)] == ["scheduled", "running"]
    at_six = replace(workshop, clock=lambda: datetime(2031, 5, 2, 4, 0, 0, tzinfo=UTC))
    assert running_edition(at_six).number == 17
    before_six = replace(workshop, clock=lambda: datetime(2031, 5, 2, 3, 59, 59, tzinfo=UTC))
    assert running_edition(before_six).number == 16


def test_a_start_that_was_typed_into_the_draft_counts_and_a_copied_one_does_not(
    workshop: Workshop,
):
    draft = drafted(workshop, PutHouse("starts", "2031-05-03T06:00:00Z"))
    published = done(publish(workshop, version=draft.version, author=BY, reason="r"))
    assert published.edition.house.starts == "2031-05-03T06:00:00Z"
    draft = drafted(workshop, NAME)
    published = done(publish(workshop, version=draft.version, author=BY, reason="r"))
    assert published.edition.house.starts == "2031-05-01T08:00:00.000Z"


def test_an_edition_does_not_start_before_the_one_in_force(workshop: Workshop):
    draft = drafted(workshop, NAME)
    given = {"version": draft.version, "author": BY, "reason": "r"}
    refused = publish(workshop, **given, starts="2031-03-31T06:00:00+02:00")  # type: ignore[arg-type]
    assert codes(refused) == ["data.starts-early"]
    assert isinstance(refused, Refused)
    assert refused.findings[0].try_[0].values == ("2031-04-01T06:00:00+02:00",)
    earlier = replace(workshop, clock=lambda: datetime(2026, 5, 1, tzinfo=UTC))
    # By this clock the first edition has yet to start, and runs because nothing else is there.
    assert running_edition(earlier).number == 16
    published = done(publish(earlier, **given))  # type: ignore[arg-type]
    assert published.in_force
    assert running_edition(earlier).number == 17


@pytest.mark.parametrize(
    "starts",
    ["now", "2031-05-02", "2031-05-02T06:00:00", "2031-13-01T06:00:00Z", "20310502T060000Z"],
)
def test_a_start_without_a_zone_is_none(workshop: Workshop, starts: str):
    draft = drafted(workshop, NAME)
    outcome = publish(workshop, version=draft.version, author=BY, reason="r", starts=starts)
    assert codes(outcome) == ["data.starts-form"]


def test_an_order_keeps_the_edition_it_was_taken_under(workshop: Workshop):
    taken = answer_of(take_order(workshop, raw(example("D-1001"))))
    draft = drafted(workshop, LIMIT)
    done(publish(workshop, version=draft.version, author=BY, approver="B", reason="r"))
    view = show_order(workshop, taken["id"])
    assert view is not None
    assert view.as_json()["edition"] == 16
    assert view.as_json()["plans"] == taken["plans"]
    assert edition_numbered(workshop, 16).rims["OR33D"].spoke_limit_n == 1250.0


def test_rolling_back_publishes_a_new_edition_that_says_the_same(workshop: Workshop):
    draft = drafted(workshop, LIMIT)
    done(publish(workshop, version=draft.version, author=BY, approver="B", reason="r"))
    refused = roll_back(workshop, 16, author=BY, reason="the test was wrong")
    assert codes(refused) == ["data.second-person"]
    published = done(roll_back(workshop, 16, author=BY, approver="B", reason="the test was wrong"))
    assert (published.edition.number, published.paper.kind) == (18, "rolled-back")
    assert (published.paper.based_on, published.paper.equal_to) == (17, 16)
    assert not differences(edition_numbered(workshop, 16), running_edition(workshop))
    assert published.differences
    again = roll_back(workshop, 16, author=BY, approver="B", reason="sent twice")
    assert codes(again) == ["data.nothing-changed"]
    with pytest.raises(KeyError):
        roll_back(workshop, 99, author=BY, reason="r")


def test_a_draft_that_was_overtaken_is_carried_over_before_it_is_published(workshop: Workshop):
    draft = drafted(workshop, NAME)
    starts = "2031-05-01T07:00:00Z"
    done(roll_back(workshop, 16, author=BY, reason="to be sure", starts=starts))
    refused = publish(workshop, version=draft.version, author=BY, reason="r")
    assert set(codes(refused)) == {"data.draft-outrun", "data.edition-frozen"}
    carried = carry_over(workshop, version=draft.version, by=BY)
    assert (carried.number, carried.based_on, carried.findings) == (18, 17, ())
    published = done(publish(workshop, version=carried.version, author=BY, reason="r"))
    assert published.edition.number == 18
    assert [each.code for each in published.differences.parts] == ["OR33D"]


def test_a_draft_is_published_once(workshop: Workshop):
    draft = drafted(workshop, NAME)
    other = open_workshop(workshop.path, clock=workshop.clock)
    done(publish(other, version=draft.version, author=BY, reason="r"))
    other.close()
    with pytest.raises(StaleDraft, match="published as edition 17"):
        publish(workshop, version=draft.version, author=BY, reason="r")
    assert [each.number for each in list_editions(workshop)] == [17, 16]


def test_an_edition_that_another_process_publishes_is_noticed(workshop: Workshop):
    assert running_edition(workshop).number == 16
    other = open_workshop(workshop.path, clock=workshop.clock)
    draft = begin(other, BY)
    done(publish(other, version=draft.version, author=BY, reason="r"))
    other.close()
    assert running_edition(workshop).number == 17


def test_publishing_is_told_to_other_systems_without_names(workshop: Workshop):
    draft = drafted(workshop, LIMIT)
    done(publish(workshop, version=draft.version, author=BY, approver="B. Second", reason="why"))
    with workshop.database.reading() as section:
        ((kind, facts),) = section.rows(
            "select kind, facts from events where kind like 'edition.p%'"
        )
    assert kind == "edition.published"
    assert '"edition": 17' in facts
    assert not any(word in facts for word in ("Author", "Second", "why"))


def test_the_first_edition_of_an_empty_file_is_published_at_once(empty_workshop: Workshop):
    texts, _ = read_texts(demo_directory())
    assert load_texts(empty_workshop, texts, by=BY).outcome == "loaded"
    (line,) = list_editions(empty_workshop)
    assert line.paper is not None
    assert (line.paper.kind, line.paper.author, line.paper.based_on) == ("founding", BY, None)
    view = show_edition(empty_workshop, 16)
    assert view is not None
    assert view.differences is None
    assert show_edition(empty_workshop, 17) is None


def test_an_edition_that_an_older_version_loaded_has_no_paper_and_is_shown_all_the_same(
    empty_workshop: Workshop,
):
    texts, _ = read_texts(demo_directory())
    edition, _ = read_catalog(texts)
    assert edition is not None
    with empty_workshop.database.writing() as section:
        row = StoredEdition(16, edition.digest, edition.house.starts, "2030-01-01T00:00:00.000Z")
        editions.insert(section, row, texts)
    view = show_edition(empty_workshop, 16)
    assert view is not None
    assert (view.line.paper, view.before, view.as_json()["author"]) == (None, None, None)
    draft = drafted(empty_workshop, NAME)
    done(publish(empty_workshop, version=draft.version, author=BY, reason="r"))
    newest = show_edition(empty_workshop, 17)
    assert newest is not None
    assert newest.before == 16


def test_a_draft_with_a_new_part_that_is_built_needs_its_proof(workshop: Workshop):
    draft = drafted(workshop, PutPart("OR46D", clone_of="OR45D", values={"name": "n"}))
    assert draft.findings == ()
    given: Any = {"author": BY, "approver": "B", "reason": "r"}
    active = change(
        workshop, (PutPart("OR46D", values={"state": "active"}),), version=draft.version, by=BY
    )
    assert active.draft is not None
    assert active.draft.findings == ()
    refused = publish(workshop, version=active.draft.version, **given)
    assert isinstance(refused, Refused)
    assert refused.findings == in_the_way(workshop, active.draft)
    assert set(codes(refused)) == {"data.unproved", "data.unmeasured"}
    again = put_house(workshop, "tension.goal_percent", 4.0, version=active.draft.version, by=BY)
    waiting = change(
        workshop, (PutPart("OR46D", values={"state": "draft"}),), version=again.version, by=BY
    )
    assert waiting.draft is not None
    published = done(publish(workshop, version=waiting.draft.version, **given))
    assert published.edition.rims["OR46D"].state == "draft"
