"""The public list of codes holds whatever an order, a catalog or a wheel file can be answered with."""

from __future__ import annotations

import pytest

from buildsheet.actions.finding_codes import finding_codes
from buildsheet.catalog.codes import FAULT_CODES
from buildsheet.orders.codes import CODES
from buildsheet.plan.wheel_file import WHEEL_FILE_CODES
from buildsheet.plan.wheel_file.codes import found

LISTED = {str(each["code"]): each for each in finding_codes()}


def test_every_code_of_orders_catalogs_and_wheel_files_is_listed_once():
    assert {*CODES, *FAULT_CODES, *WHEEL_FILE_CODES} <= set(LISTED)
    assert len(LISTED) == len(finding_codes())


@pytest.mark.parametrize("code", sorted(WHEEL_FILE_CODES))
def test_the_severities_of_a_wheel_file_are_among_those_listed(code: str):
    listed = LISTED[code]["severities"]
    assert isinstance(listed, list)
    assert set(WHEEL_FILE_CODES[code].severities) <= set(listed)


def test_a_code_shared_with_orders_keeps_the_severities_of_both():
    assert CODES["lacing.head-clearance"].severities == ("block", "approval")
    assert LISTED["lacing.head-clearance"]["severities"] == ["block", "approval", "caution"]


def test_a_wheel_file_says_no_severity_that_is_not_listed():
    with pytest.raises(ValueError, match="listed as"):
        found("tension.floor", "block", "", "no")
