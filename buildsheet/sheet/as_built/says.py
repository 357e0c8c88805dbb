"""All that a record says, as rows of words: what paper prints, a page on a screen shows too."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.sheet.as_built import customer_words, figures, identity, rider
from buildsheet.sheet.as_built.document import Recorded
from buildsheet.sheet.as_built.record_page import chart_of
from buildsheet.wheel.spec import Sides

Row = tuple[str, ...]
EVERY_PASS: Final = 10_000


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows with their title; ``head`` names the columns where there are more than two, ``marked`` are the
    rows, by number from 0, that lie outside what is allowed or were not read."""

    title: str
    rows: tuple[Row, ...]
    head: Row = ()
    marked: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class RiderSays:
    """The page for the rider. ``not_for_riding`` is '' for a wheel with a certificate."""

    not_for_riding: str
    law_first: str
    limits: tuple[Row, ...]
    classes: str
    pressure: Rows
    wider: str
    spares: tuple[Row, ...]
    in_the_bag: str
    about_spares: str
    first_ride: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecordSays:
    """The page for the file, and the rider's. ``readings`` are hole, (as read,) newtons, off in percent."""

    verdict: str
    why: str
    certificate: bool
    lists: tuple[Rows, ...]
    compared: Rows
    readings: Sides[Rows]
    steps: Rows
    passes: Rows
    remarks: tuple[str, ...]
    rider: RiderSays


def record_says(record: Recorded) -> RecordSays:
    """Everything in words; what nobody recorded says so."""
    word = identity.verdict(record)
    made = (
        ("part batches", record.text("parts", "batches")),
        ("people", record.text("people")),
    )
    return RecordSays(
        verdict=word,
        why=identity.why(record),
        certificate=word != identity.NO_CERTIFICATE,
        lists=(
            Rows("Order and sheet", identity.sheet_rows(record)),
            Rows("Parts", (*identity.part_rows(record), *made)),
            Rows("People and gauge", identity.people_rows(record)),
        ),
        compared=Rows("Planned against measured", figures.compared(record), figures.HEAD),
        readings=Sides(_readings(record, "left"), _readings(record, "right")),
        steps=Rows("Steps", identity.step_rows(record), ("station", "done", "by")),
        passes=Rows(
            "Passes of readings",
            identity.pass_rows(record, EVERY_PASS),
            ("pass", "verdict", "read", "by"),
        ),
        remarks=identity.remarks(record),
        rider=_rider(record, certificate=word != identity.NO_CERTIFICATE),
    )


def _readings(record: Recorded, side: str) -> Rows:
    unit = figures.unit_of(record)
    middle = () if unit == "n" else (f"as read, {unit}",)
    head = ("hole", *middle, "N", "off mean, %")
    rows, chart = figures.reading_rows(record, side), chart_of(record)
    marked = frozenset(at for at, cells in enumerate(rows) if chart.outside(int(cells[0])))
    return Rows(side.upper(), rows, head, marked)


def _rider(record: Recorded, *, certificate: bool) -> RiderSays:
    return RiderSays(
        not_for_riding="" if certificate else customer_words.NOT_FOR_RIDING,
        law_first=customer_words.LAW_FIRST,
        limits=rider.limit_rows(record),
        classes=customer_words.CLASSES,
        pressure=Rows(
            "Highest tyre pressure",
            rider.pressure_rows(record) or ((rider.NO_PRESSURE,),),
            rider.pressure_head(record),
        ),
        wider=rider.WIDER,
        spares=rider.spare_rows(record),
        in_the_bag=rider.in_the_bag(record),
        about_spares=customer_words.SPARES,
        first_ride=customer_words.FIRST_RIDE,
        cautions=customer_words.CAUTIONS,
    )
