"""A workshop file whose log ends anywhere, as after a power cut: a copy is cut and opened.

A kill leaves the system's page cache, so it proves nothing about disks. Here the log loses its end at a
random byte, or has noise from there on; what is left must be whole and a prefix of what was answered.
Only logs that were not yet carried over are cut: the engine waits for the disk before it carries over.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from random import Random

from buildsheet.actions.workshop import open_workshop
from buildsheet.storage.database import CHECKPOINT_PAGES
from tests.soak.crashing.clients import Book
from tests.soak.crashing.proof import Faults, prefix

PAGE = 4096


def torn(file: Path, into: Path, book: Book, chance: Random) -> Faults | None:
    """What is wrong with a copy whose log was cut; None where there was no log that may be cut."""
    log = file.with_name(f"{file.name}-wal")
    if not log.exists() or not 0 < log.stat().st_size < CHECKPOINT_PAGES * PAGE:
        return None
    into.mkdir()
    copy = into / file.name
    shutil.copy(file, copy)
    whole = log.read_bytes()
    at = chance.randrange(len(whole))
    noise = chance.randbytes(len(whole) - at) if chance.random() < 0.5 else b""
    copy.with_name(log.name).write_bytes(whole[:at] + noise)
    workshop = open_workshop(copy, create=False)
    try:
        faults = prefix(workshop, book)
    finally:
        workshop.close()
    if not faults.every():
        shutil.rmtree(into)
    return faults
