"""The entries for records and recalls."""

from __future__ import annotations

from typing import Final

from buildsheet.actions.bench.find_wheels import WAYS
from buildsheet.web.openapi.record_shapes import RecordDocument, WheelList
from buildsheet.web.openapi.route import Route, Schema, in_path, in_query

_SERIAL = in_path("serial", "A wheel's serial, such as W26-00017-F.")
_LINE = r"^[^\s\x00-\x1f\x7f]([^\x00-\x1f\x7f]{0,78}[^\s\x00-\x1f\x7f])?$"
_UNKNOWN = {404: "There is no such wheel."}


def _asked(name: str, what: str, schema: Schema) -> Schema:
    return {**in_query(name, what, schema), "required": True}


ROUTES: Final[tuple[Route, ...]] = (
    Route(
        "get",
        "/wheels",
        "findWheels",
        "Every wheel that has this in it, the newest first: the list for a recall, in one step",
        {200: ("The wheels: all of them where no limit was given.", WheelList)},
        {400: "`by` is no way to find wheels, `what` is missing or too long, or a page is none."},
        parameters=(
            _asked("by", "What is known.", {"type": "string", "enum": [*WAYS]}),
            _asked(
                "what",
                "The batch, serial, gauge, name or number; a part's batch after its label.",
                {"type": "string", "pattern": _LINE},
            ),
            in_query(
                "limit",
                "So many at once; all of them where it is left out.",
                {"type": "integer", "minimum": 1, "maximum": 1000},
            ),
            in_query(
                "before",
                "The serial that the page before ended with.",
                {"type": "string", "pattern": r"^W[0-9]{2}-[0-9]{5}-[A-Z]$"},
            ),
        ),
    ),
    Route(
        "get",
        "/wheels/{serial}/record",
        "showRecord",
        "The as-built record: parts, people, gauge, every reading, limits, digest",
        {200: ("The record. Whoever holds it can tell whether it was changed.", RecordDocument)},
        _UNKNOWN,
        parameters=(_SERIAL,),
        headers={200: {"ETag": "The record's digest."}},
    ),
    Route(
        "get",
        "/wheels/{serial}/record.pdf",
        "printRecord",
        "The same on paper, with a page for the rider",
        {200: ("Two pages, the same bytes whenever nothing changed.", "application/pdf")},
        {**_UNKNOWN, 400: "The paper is not known."},
        parameters=(
            _SERIAL,
            in_query(
                "paper", "The paper.", {"type": "string", "enum": ["a4", "letter"], "default": "a4"}
            ),
        ),
        headers={200: {"ETag": "Changes when anything on the record changes."}},
    ),
)
