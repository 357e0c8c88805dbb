"""Movements into the record: a list is entered whole, once, or refused with every fault."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Final, Literal

from buildsheet.actions.editions import running_edition
from buildsheet.actions.plan_record import compact
from buildsheet.actions.stock.announced import booked_against
from buildsheet.actions.stock.documents import MOVEMENTS, MovementDocument, MovementsDocument
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.stock import articles
from buildsheet.documents.form import read
from buildsheet.findings import Finding, Value, in_stable_order, pointer
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.shortage import still_to_come
from buildsheet.storage import events, stock
from buildsheet.storage.database import Section
from buildsheet.storage.stock import Level, Movement, StoredPosting

CORRECTIONS: Final = frozenset({"counted", "called-off"})


@dataclass(frozen=True, slots=True)
class Moved:
    """What became of a list. ``answer`` is JSON text, there for ``entered`` and ``replayed``."""

    outcome: Literal["entered", "replayed", "refused", "key-reused"]
    findings: tuple[Finding, ...] = ()
    answer: str = ""


def take_movements(workshop: Workshop, raw: bytes) -> Moved:
    """Enter a posted list. Raises NoEdition where no catalog says what there is to stock."""
    given = read(raw, MovementsDocument, MOVEMENTS)
    if given.document is None:
        return Moved("refused", given.findings)
    return enter(workshop, given.document)


def enter(workshop: Workshop, document: MovementsDocument) -> Moved:
    """Enter a list that was read already."""
    edition = running_edition(workshop)
    faults = in_stable_order([*_faults(document, edition)])
    digest = "sha256:" + sha256(document.model_dump_json().encode()).hexdigest()
    with workshop.database.writing() as section:
        before = stock.posting(section, document.key)
        if before is not None:
            if before.body_digest == digest:
                return Moved("replayed", answer=before.answer)
            return Moved("key-reused", (_key_reused(document, edition),))
        levels = stock.levels(section, {each.part for each in document.movements})
        faults = faults or tuple(_overcalled(document, levels))
        if faults:
            return Moved("refused", faults)
        at = stamp(workshop.clock())
        answer, said = _enter(section, document, levels, at, edition)
        stock.keep_posting(section, document.key, StoredPosting(digest, answer), at)
    return Moved("entered", said, answer)


def answered(workshop: Workshop, key: str) -> str:
    """What was answered to the list with this key; '' where there is none."""
    with workshop.database.reading() as section:
        before = stock.posting(section, key)
    return before.answer if before else ""


def _enter(
    section: Section,
    document: MovementsDocument,
    levels: Mapping[str, Level],
    at: str,
    edition: Edition,
) -> tuple[str, tuple[Finding, ...]]:
    made = [*_movements(document.movements, levels)]
    last = stock.append(section, made, at=at, by=document.by, reason=document.reason)
    for kind in dict.fromkeys(each.kind for each in document.movements):
        parts = {each.part: each.pieces for each in document.movements if each.kind == kind}
        events.append(section, at=at, kind=f"stock.{kind}", facts=json.dumps({"parts": parts}))
    after = stock.levels(section, {each.part for each in document.movements})
    announced = stock.announced(section)
    said = (
        *(_overdrawn(level, edition) for level in after.values() if level.free < 0),
        *booked_against(document.movements, made, after, announced, edition),
    )
    lines: list[Value] = [
        line_of(level, still_to_come(announced.get(item, ()), level.expected))
        for item, level in sorted(after.items())
    ]
    answer = {
        "movements": len(document.movements),
        "last": last,
        "parts": lines,
        "findings": [each.as_json() for each in said],
    }
    return compact(answer), said


def line_of(level: Level, coming: Sequence[tuple[str, int]]) -> dict[str, Value]:
    """The sums of one article, as answers tell them; ``coming`` is (day, pieces), the earliest first."""
    due: list[Value] = [{"on": day, "pieces": pieces} for day, pieces in coming]
    return {
        "part": level.item,
        "bin": level.bin,
        "shelf": level.shelf,
        "held": level.held,
        "free": level.free,
        "expected": level.expected,
        "coming": due,
    }


def _movements(
    lines: Sequence[MovementDocument], levels: Mapping[str, Level]
) -> Iterator[Movement]:
    """The changes that the lines make, one after the other."""
    now = dict(levels)
    for line in lines:
        before = now.get(line.part, Level(line.part, 0, 0, 0, ""))
        movement = _movement(line, before)
        now[line.part] = replace(
            before,
            shelf=before.shelf + movement.shelf_change,
            expected=before.expected + movement.expected_change,
        )
        yield movement


def _movement(line: MovementDocument, before: Level) -> Movement:
    movement = Movement(line.kind, line.part, bin=line.bin or "")
    if line.kind == "received":
        arrived = min(line.pieces, before.expected) if line.announced else 0
        return movement._replace(shelf_change=line.pieces, expected_change=-arrived)
    if line.kind == "counted":
        return movement._replace(shelf_change=line.pieces - before.shelf)
    if line.kind == "expected":
        return movement._replace(expected_change=line.pieces, due_on=line.due_on)
    return movement._replace(expected_change=-line.pieces)


def _faults(document: MovementsDocument, edition: Edition) -> Iterator[Finding]:
    known = articles(edition)
    for place, line in enumerate(document.movements):
        at = pointer("movements", place)
        if line.part not in known:
            yield _unknown(line.part, f"{at}/part", known, edition)
        if line.kind == "expected" and line.due_on is None:
            says = f"{line.part}: state the day on which the delivery is due."
            yield MOVEMENTS.fault("missing-member", f"{at}/due_on", says)
        if line.kind != "expected" and line.due_on is not None:
            says = f"Only a delivery that is expected has a day; {line.part} is {line.kind}."
            yield MOVEMENTS.fault("unknown-member", f"{at}/due_on", says)
        if line.kind != "counted" and line.pieces == 0:
            says = f"{line.part}: nothing {line.kind} is no movement."
            yield MOVEMENTS.fault("out-of-range", f"{at}/pieces", says, need={"at_least": 1})
    corrects = {each.kind for each in document.movements} & CORRECTIONS
    if corrects and not document.reason.strip():
        says = "A correction says why: state a reason."
        yield stocked("stock.reason-missing", "block", "/reason", says, edition=edition.number)


def _overcalled(document: MovementsDocument, levels: Mapping[str, Level]) -> Iterator[Finding]:
    """Deliveries called off that were never announced."""
    left = {item: level.expected for item, level in levels.items()}
    for place, line in enumerate(document.movements):
        if line.kind == "expected":
            left[line.part] = left.get(line.part, 0) + line.pieces
        if line.kind != "called-off":
            continue
        left[line.part] = left.get(line.part, 0) - line.pieces
        if left[line.part] < 0:
            says = f"{line.part}: fewer are expected than are called off."
            yield MOVEMENTS.fault(
                "out-of-range",
                pointer("movements", place, "pieces"),
                says,
                need={"at_most": left[line.part] + line.pieces},
            )


def _unknown(part: str, at: str, known: frozenset[str], edition: Edition) -> Finding:
    code = part.partition("/")[0]
    ways = sorted(each for each in known if each.partition("/")[0] == code)
    hint = f"{code} comes as {', '.join(ways[:12])}." if ways else "Look for a slip in its code."
    says = f"Edition {edition.number} has no article {part}. {hint}"
    return stocked("stock.unknown-item", "block", at, says, edition=edition.number)


def _overdrawn(level: Level, edition: Edition) -> Finding:
    says = (
        f"{level.item}: {level.shelf} on the shelf, {level.held} held for orders. "
        f"{-level.free} of them cannot be kept."
    )
    have = {"shelf": level.shelf, "held": level.held}
    return stocked("stock.overdrawn", "caution", "", says, edition=edition.number, have=have)


def _key_reused(document: MovementsDocument, edition: Edition) -> Finding:
    says = f"Key {document.key} was used for another list; a new list needs its own."
    return stocked("stock.key-reused", "block", "/key", says, edition=edition.number)
