"""What pictures over many wheels need of the bench's passes, and no more of them.

What stands in a pass's document and answer is read here and not by the engine: engines differ in how they
look into JSON.
"""

from __future__ import annotations

import json
from typing import Any

from pydantic_core import from_json

from buildsheet.storage.database import Section

MOST_WHEELS = 50_000
MOST_WEIGHED = 2_000
MOST_LOOKED_AT = 3 * MOST_WEIGHED
"""Passes that are looked into for a mass: a wheel is read some three times."""

STOPPED_BY = frozenset({"block", "approval"})


def first_judged_since(
    section: Section, at: str
) -> tuple[tuple[str, int, str, str, tuple[str, ...]], ...]:
    """(serial, number, read at, verdict, codes of blocks and approvals) of each wheel's first pass that was
    judged, where it was read at or after a moment; at most `MOST_WHEELS`."""
    rows = section.rows(
        """
        select serial, number, read_at, word from bench_passes as passes
        where read_at >= ? and word <> 'not-judged' and not exists (
            select 1 from bench_passes as before
            where before.serial = passes.serial and before.number < passes.number
              and before.word <> 'not-judged'
        )
        order by read_at desc, serial limit ?
        """,
        at,
        MOST_WHEELS,
    )
    return tuple(
        (
            str(serial),
            int(number),
            str(read_at),
            str(word),
            () if word == "pass" else _codes(section, serial, number),
        )
        for serial, number, read_at, word in rows
    )


def _codes(section: Section, serial: str, number: int) -> tuple[str, ...]:
    """What kept one pass from being good. Answers are long: only one at a time is in memory, and the
    quicker parser reads them, which is all that the picture of many weeks waits for."""
    row = section.one(
        "select answer from bench_passes where serial = ? and number = ?", serial, number
    )
    said: dict[str, Any] = from_json(row[0])
    return tuple(
        str(each["code"]) for each in said.get("findings", ()) if each["severity"] in STOPPED_BY
    )


def weighed(section: Section) -> tuple[tuple[str, float, float], ...]:
    """(serial, computed mass, measured mass) in grams of the wheels weighed last, at most `MOST_WEIGHED` of
    the last `MOST_LOOKED_AT` passes: each by its newest pass with a mass, against the plan of the sheet
    that it was read under."""
    rows = section.rows(
        """
        select passes.serial, passes.document, sheets.plan_digest
        from (
            select serial, number, issue, read_at, document from bench_passes
            order by read_at desc limit ?
        ) as passes
        join sheets on sheets.serial = passes.serial and sheets.issue = passes.issue
        order by passes.read_at desc, passes.serial, passes.number desc
        """,
        MOST_LOOKED_AT,
    )
    read: dict[str, tuple[str, float]] = {}
    for serial, document, digest in rows:
        if serial not in read and len(read) < MOST_WEIGHED:
            mass_g = json.loads(document).get("mass_g")
            if mass_g is not None:
                read[str(serial)] = (str(digest), float(mass_g))
    planned = _planned_g(section, {digest for digest, _ in read.values()})
    return tuple((serial, planned[digest], mass_g) for serial, (digest, mass_g) in read.items())


def _planned_g(section: Section, digests: set[str]) -> dict[str, float]:
    """Digest of a plan -> the mass that it computes, in grams."""
    return {
        digest: float(
            json.loads(section.one("select document from plans where digest = ?", digest)[0])[
                "mass_g"
            ]
        )
        for digest in digests
    }
