"""What happened to a wheel at its stations and at the stand. Appended, never edited."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildsheet.storage.database import Section
from buildsheet.storage.wheels import AT_ONCE


@dataclass(frozen=True, slots=True)
class StoredStep:
    """One step at a station: as it was sent, and as it was answered. Documents are JSON text."""

    serial: str
    issue: str
    station: str
    key: str
    good: bool
    done_by: str
    done_at: str
    document: str
    answer: str


@dataclass(frozen=True, slots=True)
class StoredPass:
    """One pass of readings, numbered from 1 within its wheel."""

    serial: str
    number: int
    issue: str
    key: str
    gauge: str
    word: str
    may_remark: bool
    read_by: str
    read_at: str
    document: str
    answer: str


@dataclass(frozen=True, slots=True)
class StoredSignature:
    """Who stands for one pass, with what word and why."""

    serial: str
    number: int
    key: str
    word: str
    reason: str
    signed_by: str
    signed_at: str


_STEP = """
    select serial, issue, station, step_key, good, done_by, done_at, document, answer from bench_steps
"""
_READ = """
    select serial, number, issue, pass_key, gauge, word, may_remark, read_by, read_at, document, answer
    from bench_passes
"""
_JUDGED = """
    select serial, number, word from bench_passes where word <> 'not-judged' and serial in
"""
_SIGNATURE = """
    select serial, number, sign_key, word, reason, signed_by, signed_at from bench_signatures
"""


def insert_step(section: Section, step: StoredStep) -> None:
    """Append a step; its key is unique within the wheel."""
    section.run(
        """
        insert into bench_steps
            (sequence, serial, issue, station, step_key, good, done_by, done_at, document, answer)
        select coalesce(max(sequence), 0) + 1, ?, ?, ?, ?, ?, ?, ?, ?, ? from bench_steps
        """,
        step.serial,
        step.issue,
        step.station,
        step.key,
        int(step.good),
        step.done_by,
        step.done_at,
        step.document,
        step.answer,
    )


def step_by_key(section: Section, serial: str, key: str) -> StoredStep | None:
    """The step that was sent with this key."""
    row = section.row(_STEP + "where serial = ? and step_key = ?", serial, key)
    return _step(row) if row else None


def steps_of(section: Section, serial: str) -> tuple[StoredStep, ...]:
    """Every step of a wheel, oldest first."""
    return tuple(
        _step(row) for row in section.rows(_STEP + "where serial = ? order by sequence", serial)
    )


def _step(row: tuple[object, ...]) -> StoredStep:
    serial, issue, station, key, good, by, at, document, answer = (str(each) for each in row)
    return StoredStep(serial, issue, station, key, good == "1", by, at, document, answer)


def insert_pass(section: Section, each: StoredPass) -> None:
    """Append a pass; number and key are unique within the wheel."""
    section.run(
        """
        insert into bench_passes
            (serial, number, issue, pass_key, gauge, word, may_remark, read_by, read_at, document,
             answer)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        """,
        each.serial,
        each.number,
        each.issue,
        each.key,
        each.gauge,
        each.word,
        int(each.may_remark),
        each.read_by,
        each.read_at,
        each.document,
        each.answer,
    )


def pass_by_key(section: Section, serial: str, key: str) -> StoredPass | None:
    """The pass that was sent with this key."""
    row = section.row(_READ + "where serial = ? and pass_key = ?", serial, key)
    return _pass(row) if row else None


def passes_of(section: Section, serial: str) -> tuple[StoredPass, ...]:
    """Every pass of a wheel, oldest first."""
    return tuple(
        _pass(row) for row in section.rows(_READ + "where serial = ? order by number", serial)
    )


def last_words(section: Section, serials: Sequence[str]) -> tuple[tuple[str, int, str], ...]:
    """Serial, number and word of the newest pass that was judged, of those of these wheels that have one;
    by serial."""
    newest: dict[str, tuple[int, str]] = {}
    for start in range(0, len(serials), AT_ONCE):
        some = serials[start : start + AT_ONCE]
        marks = ", ".join("?" * len(some))
        rows = section.rows(_JUDGED + f"({marks}) order by serial, number", *some)
        # Later rows overwrite earlier ones: the newest stays.
        newest.update({str(serial): (int(number), str(word)) for serial, number, word in rows})
    return tuple((serial, *last) for serial, last in sorted(newest.items()))


def _pass(row: tuple[object, ...]) -> StoredPass:
    serial, number, issue, key, gauge, word, remark, by, at, document, answer = row
    return StoredPass(
        serial=str(serial),
        number=int(str(number)),
        issue=str(issue),
        key=str(key),
        gauge=str(gauge),
        word=str(word),
        may_remark=bool(remark),
        read_by=str(by),
        read_at=str(at),
        document=str(document),
        answer=str(answer),
    )


def insert_signature(section: Section, signature: StoredSignature) -> None:
    """Append a signature; a pass has one."""
    section.run(
        """
        insert into bench_signatures
            (serial, number, sign_key, word, reason, signed_by, signed_at)
        values (?, ?, ?, ?, ?, ?, ?)
        """,
        signature.serial,
        signature.number,
        signature.key,
        signature.word,
        signature.reason,
        signature.signed_by,
        signature.signed_at,
    )


def signatures_of(section: Section, serial: str) -> tuple[StoredSignature, ...]:
    """Every signature of a wheel, by pass."""
    rows = section.rows(_SIGNATURE + "where serial = ? order by number", serial)
    return tuple(StoredSignature(*row) for row in rows)


def insert_batch(section: Section, serial: str, kind: str, name: str, at: str) -> None:
    """Append what went into a wheel: ``kind`` such as ``rim-batch``, ``rim-serial``, ``nipple-batch``."""
    section.run(
        """
        insert into wheel_batches (sequence, serial, kind, name, recorded_at)
        select coalesce(max(sequence), 0) + 1, ?, ?, ?, ? from wheel_batches
        """,
        serial,
        kind,
        name,
        at,
    )


def batches_of(section: Section, serial: str) -> tuple[tuple[str, str], ...]:
    """(kind, name) of everything recorded for a wheel, oldest first."""
    rows = section.rows(
        "select kind, name from wheel_batches where serial = ? order by sequence", serial
    )
    return tuple((str(kind), str(name)) for kind, name in rows)
