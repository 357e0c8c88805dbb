"""The rounds: a server is started on what the last kill left, looked at, loaded, and killed."""

from __future__ import annotations

import json
import os
import signal
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any, Final

from buildsheet.actions.audit.run import audit
from buildsheet.actions.backup import backup
from buildsheet.actions.bench.gauges import add_table
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.editions import running_edition
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.storage import wheels
from tests.bench.intake import EXAMPLES, full_shelves
from tests.soak.crashing import commands as killing
from tests.soak.crashing.clients import Book, ask_again, let_run
from tests.soak.crashing.keeper import Server, runs
from tests.soak.crashing.proof import FIRST_GOODS, Faults, look
from tests.soak.crashing.scripts import SHORT, Work, day, to_build
from tests.soak.crashing.torn import torn

SOONEST_S, LATEST_S = 0.05, 0.6
MOST_ANSWERS = 60
PATIENCE_S = 4.0
"""When the kill comes: so long after the senders began, or, in every second round, at one of the first so
many answers, because a busy machine answers little in so short a time; after some patience in any case."""

BACK_S = 15.0
"""A killed worker must be there again, and the server answer, by then; workers without a server be gone."""

AUDIT_EVERY = 10
"""The whole audit reads everything and is made after so many rounds, and at the end; what it says of pages,
references, guards, numbers, strays and shelves is asked after every round."""

CUT_EVERY = 4
EDITION_EVERY = 12
TO_MOVE, TO_BUILD, BUILT_AT_ONCE = 14, 3, 16
FIRST_PIECES = 8

REPEATED: Final = ("order", "move", "goods", "step", "pass")
"""What a sender may send again; a publishing is guarded by the draft's version instead."""


@dataclass
class Figures:
    """What is printed at the end."""

    kills: Counter[str] = field(default_factory=Counter)
    lost: int = 0
    doubled: int = 0
    other: int = 0
    unanswered: int = 0
    had_been_done: int = 0
    cut: int = 0
    cut_off: int = 0
    back_s: list[float] = field(default_factory=list)


@dataclass
class Soak:
    """One run: its files, its chance, its book, its figures. From post ``fresh`` on none was sent again
    yet; ``turned`` are the orders that had their turn to be moved or built, ``building`` the documents
    that each begun wheel still waits for."""

    directory: Path
    seed: str
    commands: killing.Commands
    chance: Random
    book: Book = field(default_factory=Book)
    figures: Figures = field(default_factory=Figures)
    faults: list[str] = field(default_factory=list)
    fresh: int = 0
    turned: set[str] = field(default_factory=set)
    building: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    edition: int = 16

    @property
    def file(self) -> Path:
        """The workshop file that lives through all rounds."""
        return self.commands.file

    def note(self, said: list[str], where: str) -> None:
        """Faults that are neither lost nor twice."""
        self.figures.other += len(said)
        self.faults += [f"{where}: {each}" for each in said]

    def noted(self, found: Faults, where: str) -> None:
        """The faults of a look."""
        self.figures.lost += len(found.lost)
        self.figures.doubled += len(found.doubled)
        self.figures.other += len(found.other)
        self.faults += [f"{where}: {each}" for each in found.every()]


def found(file: Path) -> Path:
    """The demo workshop: full shelves but for one article, gauges on the wall."""
    workshop = open_workshop(file)
    load_catalog(workshop, demo_directory())
    start = SHORT.replace("/", ",") + ","
    shelves = "\n".join(
        f"{line.rpartition(',')[0]},{FIRST_PIECES}" if line.startswith(start) else line
        for line in full_shelves().splitlines()
    )
    moved = load_stock(workshop, shelves, by="soak", key=FIRST_GOODS)
    if moved.outcome != "entered":
        raise RuntimeError(moved.findings)
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            add_table(workshop, json.dumps(table).encode())
    workshop.close()
    return file


def learn(soak: Soak) -> None:
    """How long each command takes when nobody kills it."""
    commands, copy = soak.commands, soak.directory / "learn.db"
    codes = [
        commands.through("founding", "catalog", "load", str(demo_directory()), "--db", str(copy)),
        commands.through("backup", "backup", f"{copy}.copy", "--db", str(copy)),
        commands.through("restore", "restore", f"{copy}.copy", "--db", str(copy)),
    ]
    server = commands.keeper.serve(copy)
    killing.draft_over(server.port, 0.3)
    server.kill()
    commands.keeper.ended(server.started)
    signed = ("--author", "A. Author", "--reason", "to learn how long it takes")
    codes.append(commands.through("publish", "catalog", "publish", *signed, "--db", str(copy)))
    if any(codes):
        raise RuntimeError(f"a command that nobody disturbed failed: {codes}")


def one_round(soak: Soak, number: int, kind: str) -> None:
    """One kill, and all that is looked at before the next."""
    soak.figures.kills[kind] += 1
    at = f"round {number + 1} ({kind})"
    if kind == "first load":
        soak.note(killing.founding(soak.commands, soak.directory / f"fresh-{number}.db"), at)
        return
    if kind == "restore":
        soak.note(killing.putting_back(soak.commands, soak.directory), at)
        return
    work = Work(f"r{number:04}", soak.seed)
    # Who opens the file first after a kill puts it in order: by turns this process and a server.
    by_us = soak.chance.random() < 0.5
    if by_us:
        _look(soak, at, work, number)
    server = soak.commands.keeper.serve(soak.file)
    try:
        _repeat(soak, server)
        killing.discard_draft(server.port)
        if not by_us:
            _look(soak, at, work, number)
        if kind == "publish" or number % EDITION_EVERY == 5:
            version = killing.draft_over(server.port, 0.4 + number % 1000 / 10000.0)
            work.draft = None if kind == "publish" else version
        _load(soak, server, work, kind, at)
    finally:
        server.kill()
        soak.commands.keeper.ended(server.started)
    fresh = soak.book.posts[soak.fresh :]
    soak.figures.unanswered += sum(not each.status for each in fresh)
    if number % CUT_EVERY == 0:
        _cut(soak, number, at)


def last_look(soak: Soak) -> None:
    """After the last kill: what was cut off is done, and everything ever answered is asked for again."""
    if soak.faults:
        return
    server = soak.commands.keeper.serve(soak.file)
    try:
        _repeat(soak, server)
        every = [each for each in soak.book.posts if each.kind in REPEATED and each.taken]
        ask_again(soak.book, server.port, every)
        _senders(soak, "at the end")
    finally:
        server.kill()
        soak.commands.keeper.ended(server.started)
    _look(soak, "at the end", Work("", ""), 0)


def _repeat(soak: Soak, server: Server) -> None:
    """All posts since the last time are sent again: answered or not, the senders cannot know better."""
    fresh = [each for each in soak.book.posts[soak.fresh :] if each.kind in REPEATED]
    soak.fresh = len(soak.book.posts)
    cut_off = [each for each in fresh if not each.status]
    soak.book.over.clear()
    ask_again(soak.book, server.port, fresh)
    _senders(soak, "asked again")
    soak.figures.had_been_done += sum(each.replayed for each in cut_off)
    soak.book.let_go()


def _senders(soak: Soak, at: str) -> None:
    soak.note(soak.book.faults, at)
    soak.book.faults = []


def _look(soak: Soak, at: str, work: Work, number: int) -> None:
    """The file against the book; what the senders will have to do with what is there."""
    workshop = open_workshop(soak.file, create=False)
    try:
        soak.noted(look(workshop, soak.book), at)
        if number % AUDIT_EVERY == 0:
            said = audit(workshop).faults
            soak.note([f"audit: {each.check} {each.at}: {each.says}" for each in said], at)
        _hand_out(soak, workshop, work)
        running = running_edition(workshop).number
    finally:
        workshop.close()
    if running != soak.edition:
        _warm(soak, running)


def _warm(soak: Soak, running: int) -> None:
    """Servers to come know the new edition, as one that ran on would."""
    soak.edition = running
    copy = soak.directory / f"warm-{running}.db"
    backup(soak.file, copy)
    soak.commands.keeper.warm(copy)
    for left in soak.directory.glob(f"{copy.name}*"):
        left.unlink()


def _hand_out(soak: Soak, workshop: Workshop, work: Work) -> None:
    """Orders that nobody has touched yet, to move or to build; begun wheels first."""
    waiting = [each for each in soak.book.taken("order") if each.order_id not in soak.turned]
    chosen = soak.chance.sample(waiting, min(len(waiting), TO_MOVE + TO_BUILD))
    soak.turned.update(each.order_id for each in chosen)
    for post in chosen[TO_BUILD:]:
        work.to_move.append((post.order_id, json.loads(post.body)))
    for post in chosen[:TO_BUILD]:
        with workshop.database.reading() as section:
            serial = wheels.of_order(section, post.order_id)[0].serial
        soak.building[serial] = to_build(workshop, serial)
    soak.building = {serial: left for serial, left in soak.building.items() if left}
    work.to_build = [*soak.building.items()][:BUILT_AT_ONCE]


def _load(soak: Soak, server: Server, work: Work, kind: str, at: str) -> None:
    """All senders at once, and the kill in the midst of it."""
    said: list[str] = []

    def kill() -> None:
        _the_moment(soak)
        try:
            _besides(soak, server, kind, work, said)
        finally:
            soak.book.over.set()
            server.kill()

    let_run(soak.book, server.port, day(work), kill)
    soak.note(said, at)
    _senders(soak, at)


def _the_moment(soak: Soak) -> None:
    """Come back when it is time to kill."""
    if soak.chance.random() < 0.5:
        time.sleep(soak.chance.uniform(SOONEST_S, LATEST_S))
        return
    wanted = soak.book.answered + soak.chance.randint(1, MOST_ANSWERS)
    _comes(lambda: soak.book.answered >= wanted, PATIENCE_S, 0.0005)


def _besides(soak: Soak, server: Server, kind: str, work: Work, said: list[str]) -> None:
    """What is killed before the server is."""
    if kind == "backup":
        target = soak.directory / f"copy-{work.name}.db"
        said += killing.copying(soak.commands, soak.book, target)
    if kind == "publish":
        said += killing.publishing(soak.commands, soak.book, work.name)
    if kind == "a worker":
        said += _one_worker(soak, server)
    if kind == "the parent":
        said += _parent(soak, server)


def _one_worker(soak: Soak, server: Server) -> list[str]:
    """One of two workers is killed; it comes back, and the server goes on meanwhile and afterwards."""
    before = server.started.children()
    if len(before) != 2:
        return [f"{len(before)} workers instead of 2"]
    victim = soak.chance.choice(before)
    os.kill(victim, signal.SIGKILL)
    began = time.monotonic()
    if not _comes(lambda: len(set(server.started.children()) - {victim}) == 2):
        return ["a killed worker did not come back"]
    soak.figures.back_s.append(time.monotonic() - began)
    answered = soak.book.answered
    if not _comes(lambda: soak.book.answered > answered + 5):
        return ["a server of which a worker was killed answers no more"]
    time.sleep(soak.chance.uniform(SOONEST_S, LATEST_S / 2))
    return []


def _parent(soak: Soak, server: Server) -> list[str]:
    """Only the process that started the workers is killed: they finish what they have, and leave."""
    workers = server.started.children()
    soak.book.over.set()
    os.kill(server.started.pid, signal.SIGKILL)
    gone = _comes(lambda: not any(map(runs, workers)))
    return [] if gone else ["workers go on without the process that started them"]


def _comes(true: Callable[[], bool], patience_s: float = BACK_S, pause_s: float = 0.005) -> bool:
    """Whether it becomes true in time."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(pause_s)
    return False


def _cut(soak: Soak, number: int, at: str) -> None:
    """A copy of what the kill left, with a log that ends anywhere."""
    into = soak.directory / f"torn-{number}"
    made = torn(soak.file, into, soak.book, soak.chance)
    if made is not None:
        soak.figures.cut += 1
        soak.figures.cut_off += made.cut_off
        soak.noted(made, f"{at}, log cut")
