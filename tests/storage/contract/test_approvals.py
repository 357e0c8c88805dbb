"""An approval is of one thing by one person, is written down once, and stays as it was written."""

from __future__ import annotations

from dataclasses import replace

from buildsheet.storage import approvals
from buildsheet.storage.approvals import StoredApproval
from tests.storage.contract.engines import Store
from tests.storage.contract.furnished import NOON

LATER_AT = "2031-05-01T12:30:00.000Z"


def test_every_approval_of_a_thing_is_told_the_first_first(store: Store):
    draft, edition = approvals.of_draft(12), approvals.of_edition(16, 18)
    assert draft != edition
    first = StoredApproval(draft, "B", NOON)
    second = StoredApproval(draft, "A", LATER_AT)
    with store.writing() as section:
        approvals.insert(section, second)
        approvals.insert(section, first)
        approvals.insert(section, replace(first, at=LATER_AT))
        assert approvals.of(section, draft) == (first, second)
        assert approvals.of(section, edition) == ()
