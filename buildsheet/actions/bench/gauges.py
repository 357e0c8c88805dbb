"""Gauges: calibration tables in, of each the one made last out, and the check of the day.

A gauge that failed its check stays set aside, on that day and after it, until a good check says what was
done: a second try alone may be the same fault once more [common practice: set aside; proposal: the note].
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated, Final

from pydantic import Field

from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.bench.codes import found
from buildsheet.bench.document import Member, Person, Serial
from buildsheet.bench.evidence import Tables
from buildsheet.bench.gauges import GaugeTable, Mark
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.form import read
from buildsheet.documents.kind import Kind
from buildsheet.findings import Finding
from buildsheet.storage import events, gauges
from buildsheet.storage.database import Section
from buildsheet.storage.gauges import StoredCheck, StoredTable

TABLE: Final = Kind("a calibration table", "data", DOCUMENT_CODES)
CHECK: Final = Kind("a gauge's daily check", "data", DOCUMENT_CODES)

LEAST_NOTE: Final = 10
"""Characters that say what was done to a gauge which failed: a word is none."""

Day = Annotated[str, Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]


class MarkDocument(Member):
    """What the gauge showed on its own scale under a known force."""

    shown: Annotated[float, Field(ge=-1000.0, le=10_000.0)]
    force_n: Annotated[float, Field(gt=0.0, le=5000.0)]


class TableDocument(Member):
    """One calibration: at least three known forces that span the tensions in use."""

    gauge: Serial
    spoke: Serial
    version: Serial
    made_on: Day
    due_on: Day
    error_share: Annotated[float, Field(gt=0.0, lt=0.5)]
    marks: Annotated[tuple[MarkDocument, ...], Field(min_length=3, max_length=40)]
    by: Person


class CheckDocument(Member):
    """The gauge held against its rod or reference wheel this morning. After a check that failed, ``note``
    says what was done."""

    gauge: Serial
    good: bool
    note: Annotated[str, Field(max_length=200)] = ""
    by: Person


@dataclass(frozen=True, slots=True)
class Kept:
    """``new`` False where the very same table was there already; None with findings where refused."""

    new: bool | None
    findings: tuple[Finding, ...]


def add_table(workshop: Workshop, raw: bytes) -> Kept:
    """A calibration table into the file; another table under a name that is taken is refused."""
    given = read(raw, TableDocument, TABLE)
    if given.document is None:
        return Kept(None, given.findings)
    document = given.document
    marks = json.dumps([[each.shown, each.force_n] for each in document.marks])
    stored = StoredTable(
        document.gauge,
        document.spoke,
        document.version,
        document.made_on,
        document.due_on,
        document.error_share,
        marks,
        document.by,
        stamp(workshop.clock()),
    )
    try:
        made = table_of(stored)
    except ValueError as error:
        says = f"The table makes no curve: {error}."
        return Kept(None, (found("bench.gauge-marks", "block", "/marks", says),))
    tomorrow = workshop.clock().date() + timedelta(days=1)  # the house may be ahead of UTC
    if made.made_on > tomorrow:
        says = f"Made on {made.made_on}: that day has not come. The table made last is the one that counts."
        return Kept(None, (found("bench.gauge-marks", "block", "/made_on", says),))
    with workshop.database.writing() as section:
        there = gauges.table(section, document.gauge, document.spoke, document.version)
        if there is not None:
            same = (there.made_on, there.due_on, there.error_share, there.marks) == (
                stored.made_on,
                stored.due_on,
                stored.error_share,
                stored.marks,
            )
            if same:
                return Kept(False, ())
            says = (
                f"Table {document.gauge} / {document.spoke} {document.version} is there already and says "
                "something else; a table is never edited. Give the new calibration its own version."
            )
            return Kept(None, (found("bench.gauge-marks", "block", "/version", says),))
        gauges.insert_table(section, stored)
        facts = {"gauge": stored.gauge, "spoke": stored.spoke, "version": stored.version}
        events.append(section, at=stored.added_at, kind="gauge.calibrated", facts=json.dumps(facts))
    return Kept(True, ())


def check_gauge(workshop: Workshop, raw: bytes) -> Kept:
    """The check of the day of one gauge."""
    given = read(raw, CheckDocument, CHECK)
    if given.document is None:
        return Kept(None, given.findings)
    moment = workshop.clock()
    document = given.document
    check = StoredCheck(
        document.gauge,
        moment.date().isoformat(),
        document.good,
        document.note,
        document.by,
        stamp(moment),
    )
    with workshop.database.writing() as section:
        before = gauges.last_check(section, check.gauge, check.day)
        if before is not None and not before.good and check.good and _says_little(check.note):
            return Kept(None, (_after_a_failure(before),))
        gauges.insert_check(section, check)
        facts = json.dumps({"gauge": check.gauge, "good": check.good})
        events.append(section, at=check.checked_at, kind="gauge.checked", facts=facts)
    return Kept(True, ())


def list_tables(workshop: Workshop) -> tuple[GaugeTable, ...]:
    """The table of every gauge and spoke type that was made last."""
    with workshop.database.reading() as section:
        return tuple(tables_in(section).values())


def tables_in(section: Section) -> Tables:
    """The same by gauge and spoke type, inside a section."""
    return {(each.gauge, each.spoke): table_of(each) for each in gauges.newest_tables(section)}


def day_finding(section: Section, gauge: str, day: date) -> tuple[Finding, ...]:
    """What the gauge's daily check says of this day."""
    check = gauges.last_check(section, gauge, day.isoformat())
    if check is not None and not check.good:
        says = (
            f"Gauge {gauge} failed its check of {check.day}, and no good one came after it. "
            "Set it aside and read with another."
        )
        return (found("bench.gauge-day", "block", "/tension/gauge", says, have={"gauge": gauge}),)
    if check is not None and check.day == day.isoformat():
        return ()
    says = f"Gauge {gauge} has no check of {day} on record. Hold it against its rod and record it."
    return (found("bench.gauge-day", "caution", "/tension/gauge", says, have={"gauge": gauge}),)


def _says_little(note: str) -> bool:
    return len(" ".join(note.split())) < LEAST_NOTE


def _after_a_failure(before: StoredCheck) -> Finding:
    said = f": {before.note}" if before.note else ""
    says = (
        f"Gauge {before.gauge} failed its check of {before.day} ({before.checked_by}{said}). Say in the "
        "note what was done to it, or against what it was held a second time; else read with another gauge."
    )
    return found(
        "bench.gauge-day",
        "block",
        "/note",
        says,
        have={"gauge": before.gauge, "failed_on": before.day},
        need={"note": {"characters_at_least": LEAST_NOTE}},
    )


def table_of(stored: StoredTable) -> GaugeTable:
    """The table as the bench converts by. Raises ValueError where its marks make no curve."""
    return GaugeTable(
        gauge=stored.gauge,
        spoke=stored.spoke,
        version=stored.version,
        made_on=date.fromisoformat(stored.made_on),
        due_on=date.fromisoformat(stored.due_on),
        error_share=stored.error_share,
        marks=tuple(Mark(shown, force_n) for shown, force_n in json.loads(stored.marks)),
    )
