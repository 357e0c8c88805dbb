"""Codes for what only the stored record and the clock can know: it is there already, the day is past."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.codes import CodeEntry, entry, of_entry
from buildsheet.findings import Finding, Value

_RECORD: Final = "the workshop's record"

RECORD_CODES: Final[Mapping[str, CodeEntry]] = {
    each.code: each
    for each in (
        entry(
            "order.duplicate",
            "block",
            "The same source, number and revision is taken already, with other content.",
            "One business key is one wheel or one set; a second meaning would be built by mistake.",
            _RECORD,
            "6.1",
        ),
        entry(
            "order.other-revision",
            "block",
            "The order is taken already in another revision.",
            "A revision that came in as a new order would be built a second time.",
            _RECORD,
            "6.7",
        ),
        entry(
            "order.key-reused",
            "block",
            "The Idempotency-Key was used for another document.",
            "A key stands for one request; answering with another order's answer would mislead.",
            _RECORD,
            "6.1",
        ),
        entry(
            "order.wanted-by-past",
            "caution",
            "The day by which the order is wanted had passed when it came.",
            "A day that nobody can keep is a slip in the date, or a promise to be taken back.",
            "house figure, proposal",
        ),
        entry(
            "order.media-type",
            "block",
            "The body was not sent as application/json.",
            "What a sender calls something else was not meant as an order.",
            "form of the order document",
        ),
        entry(
            "data.edition-frozen",
            "block",
            "An edition of this number is loaded already, with other content.",
            "Orders are held to an edition; a number that changes its meaning breaks every one of them.",
            _RECORD,
        ),
        entry(
            "data.edition-older",
            "block",
            "A newer edition is loaded already.",
            "The highest number is the one in force; an older one would never come into use.",
            _RECORD,
        ),
    )
}


def recorded(
    code: str,
    at: str,
    says: str,
    *,
    edition: int | None,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
    also: tuple[str, ...] = (),
) -> Finding:
    """A blocking finding of one of these codes."""
    return of_entry(
        RECORD_CODES[code],
        "block",
        at,
        says,
        edition=edition,
        have=have or {},
        need=need or {},
        also=also,
    )
