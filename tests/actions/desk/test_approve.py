"""Where people sign in, two of them stand for a limit: one publishes, the other approved that version."""

from __future__ import annotations

from typing import Any

import pytest

from buildsheet.actions.desk.approve import approvals_of_draft, approve_again, approve_draft
from buildsheet.actions.desk.draft import begin, change
from buildsheet.actions.desk.publish import Published, Refused, publish, roll_back
from buildsheet.actions.desk.standing import Draft, StaleDraft, the_draft
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutHouse, PutPart
from tests.workshops import counts

PASSWORD = "nine spokes and a half"
ANNA, BERT = "A. Example", "B. Example"
LIMIT = PutPart(
    "OR33D", values={"spoke_limit_n": 1200.0, "evidence": {"spoke_limit_n": "bed test BT-9, 2031"}}
)


@pytest.fixture
def house(workshop: Workshop) -> Workshop:
    """A workshop whose two managers sign in."""
    for name in (ANNA, BERT):
        add_person(workshop, name, Role.MANAGER, PASSWORD)
    return workshop


def drafted(workshop: Workshop) -> Draft:
    draft = begin(workshop, ANNA)
    changed = change(workshop, [LIMIT], version=draft.version, by=ANNA).draft
    assert changed is not None
    return changed


def published(workshop: Workshop, draft: Draft, **more: Any) -> Published | Refused:
    told = {"author": ANNA, "reason": "bed test", "proved": True, **more}
    return publish(workshop, version=draft.version, **told)


def said(done: object) -> str:
    assert isinstance(done, Refused)
    return done.findings[0].says


def codes(done: object) -> list[str]:
    assert isinstance(done, Refused)
    return [each.code for each in done.findings]


def test_a_typed_name_is_no_second_person_where_people_sign_in(house: Workshop):
    draft = drafted(house)
    refused = published(house, draft, approver=BERT)
    assert codes(refused) == ["data.second-person"]
    assert "Nobody has approved it yet" in said(refused)
    done = approve_draft(house, BERT, version=draft.version)
    assert not isinstance(done, Refused)
    made = published(house, draft, approver="Somebody Typed")
    assert isinstance(made, Published)
    assert (made.paper.author, made.paper.approver) == (ANNA, BERT)


def test_an_own_approval_is_no_second_one(house: Workshop):
    draft = drafted(house)
    approve_draft(house, " a.  EXAMPLE", version=draft.version)
    refused = published(house, draft)
    assert codes(refused) == ["data.second-person"]
    assert f"Only {ANNA} has approved it" in said(refused)
    by_the_other = published(house, draft, author=BERT)
    assert isinstance(by_the_other, Published)


def test_any_later_edit_takes_the_approval_back(house: Workshop):
    draft = drafted(house)
    approve_draft(house, BERT, version=draft.version)
    edits = [PutHouse("pair.spare_nipples", 3)]
    later = change(house, edits, version=draft.version, by=ANNA).draft
    assert later is not None
    assert codes(published(house, later)) == ["data.second-person"]
    assert approvals_of_draft(house, later.version) == ()
    with pytest.raises(StaleDraft):
        approve_draft(house, BERT, version=draft.version)
    assert the_draft(house) is not None


def test_whoever_publishes_without_having_signed_in_has_to_approve_as_well(house: Workshop):
    draft = drafted(house)
    approve_draft(house, BERT, version=draft.version)
    # Bert's own key or shell may claim any author: that makes no second person of anybody.
    refused = published(house, draft, proved=False)
    assert codes(refused) == ["data.second-person"]
    assert f"{BERT} has approved it, {ANNA} (not signed in here) has yet to" in said(refused)
    approve_draft(house, ANNA, version=draft.version)
    assert isinstance(published(house, draft, proved=False), Published)


def test_who_did_not_sign_in_approves_nothing(house: Workshop):
    draft = drafted(house)
    before = counts(house)
    assert codes(approve_draft(house, None, version=draft.version)) == ["data.approver-unknown"]
    assert counts(house) == before


def test_an_approval_is_written_down_once(house: Workshop):
    draft = drafted(house)
    first = approve_draft(house, BERT, version=draft.version)
    before = counts(house)
    assert approve_draft(house, BERT, version=draft.version) == first
    assert counts(house) == before
    assert [each.by for each in approvals_of_draft(house, draft.version)] == [BERT]


def test_a_draft_that_cannot_be_published_cannot_be_approved(house: Workshop):
    draft = drafted(house)
    wrong = [PutPart("OR45D", values={"seat_diameter_mm": 57.36})]
    faulty = change(house, wrong, version=draft.version, by=ANNA).draft
    assert faulty is not None
    assert isinstance(approve_draft(house, BERT, version=faulty.version), Refused)
    assert approvals_of_draft(house, faulty.version) == ()


def test_an_edition_is_taken_up_again_by_two(house: Workshop):
    draft = drafted(house)
    approve_draft(house, BERT, version=draft.version)
    assert isinstance(published(house, draft), Published)
    told: Any = {"author": ANNA, "reason": "another rim's test", "proved": True}
    assert codes(roll_back(house, 16, **told)) == ["data.second-person"]
    assert codes(approve_again(house, BERT, 16, newest=16)) == ["data.draft-outrun"]
    assert not isinstance(approve_again(house, BERT, 16, newest=17), Refused)
    again = roll_back(house, 16, **told)
    assert isinstance(again, Published)
    assert (again.edition.number, again.paper.approver) == (18, BERT)
    with pytest.raises(KeyError):
        approve_again(house, BERT, 99)


def test_a_workshop_that_asks_nobody_has_a_typed_second_name(workshop: Workshop):
    draft = drafted(workshop)
    assert codes(approve_draft(workshop, BERT, version=draft.version)) == ["data.approver-unknown"]
    made = published(workshop, draft, approver=BERT, proved=False)
    assert isinstance(made, Published)
    assert made.paper.approver == BERT
