"""The demo workshop with gauges on the wall, for the tests of this folder."""

from __future__ import annotations

import json

import pytest

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.workshop import Workshop
from tests.workshops import EXAMPLES, empty_workshop, loaded_file, workshop, workshop_file

__all__ = ["empty_workshop", "loaded_file", "stand", "workshop", "workshop_file"]


@pytest.fixture
def stand(workshop: Workshop) -> Workshop:
    """Every calibration table of the examples, and gauge G1 checked this morning."""
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            kept = add_table(workshop, json.dumps(table).encode())
            assert kept.new is not None, kept.findings
    assert check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}').new
    return workshop
