"""Commands that are killed at their work: a copy, a publishing, a copy put back, a fresh file's first load.

How long each takes undisturbed is measured first, so that kills fall on all of it.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

from buildsheet.actions.audit.run import audit
from buildsheet.actions.backup import backup, sound
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.editions import running_edition
from buildsheet.actions.restore import restore
from buildsheet.actions.workshop import Workshop, now, open_workshop
from buildsheet.errors import WorldError
from buildsheet.storage import whole
from tests.bench.serving.load import Connection
from tests.soak.crashing.clients import Book, Post
from tests.soak.crashing.keeper import Keeper, Started

BEYOND = 1.15
"""Kills fall on this many times the usual time: some commands come to their end."""


@dataclass
class Commands:
    """Starts and kills commands over one workshop file; ``usual_s`` is how long each takes, learnt from
    every one that came to its end."""

    keeper: Keeper
    file: Path
    chance: Random
    usual_s: dict[str, float] = field(default_factory=dict)

    def killed(self, name: str, *args: str, waits: Callable[[], None] | None = None) -> int | None:
        """The exit code of a command, None where it was killed; ``waits`` is done just after its start."""
        began = time.monotonic()
        started = self.keeper.start(*args)
        if waits is not None:
            waits()
        self._sleep(name)
        started.kill()
        return self._code(name, started, began)

    def _sleep(self, name: str) -> None:
        time.sleep(self.chance.uniform(0.0, BEYOND * self.usual_s[name]))

    def _code(self, name: str, started: Started, began: float) -> int | None:
        code = self.keeper.ended(started)
        return None if code < 0 else code

    def through(self, name: str, *args: str) -> int:
        """The exit code of a command that nobody disturbs; notes how long it took."""
        began = time.monotonic()
        code = self.keeper.ended(self.keeper.start(*args))
        self.usual_s[name] = time.monotonic() - began
        return code


def copying(commands: Commands, book: Book, target: Path) -> list[str]:
    """A copy is begun under load and killed: its name stands for a whole copy, or for nothing."""
    before = {each.order_id for each in book.taken("order")}
    code = commands.killed("backup", "backup", str(target), "--db", str(commands.file))
    for left in target.parent.glob(f"{target.name}.part-*"):
        left.unlink()
    if not target.exists():
        return [f"backup ended with {code} and left nothing"] if code is not None else []
    try:
        sound(target)
    except WorldError as trouble:
        return [f"the copy {target.name} is not whole: {trouble}"]
    copy = open_workshop(target, create=False)
    try:
        with copy.database.reading() as section:
            there = {str(row[0]) for row in section.rows("select id from orders")}
    finally:
        copy.close()
    for each in target.parent.glob(f"{target.name}*"):
        each.unlink()
    lacks = sorted(before - there)
    return [f"the copy {target.name} lacks {lacks[0]} and {len(lacks) - 1} more"] if lacks else []


def draft_over(port: int, value: float) -> int:
    """The version of a new draft that changes one figure and is ready to be published."""
    line = Connection(port)
    try:
        begun = _asked(line, "POST", "/api/v1/catalog/draft", {"by": "A. Author"}, {})
        path = "/api/v1/catalog/draft/house/sheet.lateral_mm"
        version = {"If-Match": f'"{begun["version"]}"'}
        ready = _asked(line, "PUT", path, {"by": "A. Author", "value": value}, version)
        return int(ready["version"])
    finally:
        line.close()


def discard_draft(port: int) -> bool:
    """Throw away the draft that a kill left open; whether there was one."""
    line = Connection(port)
    try:
        found = line.ask("GET", "/api/v1/catalog/draft")
        if found.status == 404:
            return False
        version = {"If-Match": f'"{json.loads(found.body)["version"]}"'}
        _asked(line, "DELETE", "/api/v1/catalog/draft?by=A.+Author", None, version)
        return True
    finally:
        line.close()


def _asked(
    line: Connection, method: str, path: str, body: object, headers: Mapping[str, str]
) -> dict[str, Any]:
    raw = b"" if body is None else json.dumps(body).encode()
    answer = line.ask(method, path, raw, headers)
    if answer.status not in (200, 201):
        raise RuntimeError(f"{method} {path}: {answer.status} {answer.body[:300]!r}")
    said: dict[str, Any] = json.loads(answer.body)
    return said


def publishing(commands: Commands, book: Book, name: str) -> list[str]:
    """The draft is published from the command line and killed; the book keeps whether it was said."""
    signed = ("--author", "A. Author", "--approver", "B. Second", "--reason", name)
    post = Post("publish", "", b"", name)
    book.posts.append(post)
    code = commands.killed("publish", "catalog", "publish", *signed, "--db", str(commands.file))
    if code == 0:
        post.status = 201
    return [] if code in (0, None) else [f"catalog publish ended with {code}"]


def putting_back(commands: Commands, into: Path) -> list[str]:
    """A copy that knows as much as the file is put in its place and killed; nothing may be missing.
    Nobody has the file open."""
    file, copy = commands.file, into / "same.db"
    made = backup(file, copy)
    faults = []
    args = ("restore", str(copy), "--digest", made.digest, "--db", str(file))
    code = commands.killed("restore", *args)
    if code not in (0, None):
        faults.append(f"restore ended with {code}")
    for turn in ("killed", "through"):
        if turn == "through":
            restore(copy, file, moment=now(), digest=made.digest)
        seen = _sizes(file)
        faults += [
            f"after a restore ({turn}) {name} has {seen.get(name)} rows, not {rows}"
            for name, rows in made.sizes.items()
            if seen.get(name) != rows
        ]
    for left in (copy, *file.parent.glob(f"{file.name}.before-*"), *file.parent.glob("*.part-*")):
        left.unlink()
    return faults


def _sizes(file: Path) -> dict[str, int]:
    workshop = open_workshop(file, create=False)
    try:
        with workshop.database.reading() as section:
            return whole.sizes(section)
    finally:
        workshop.close()


def founding(commands: Commands, fresh: Path) -> list[str]:
    """A file that is not there gets its tables and its first edition, is killed at it, and gets them
    again; in half of the rounds by two processes at once."""
    args = ("catalog", "load", str(demo_directory()), "--db", str(fresh))
    other: list[Started] = []
    two = commands.chance.random() < 0.5
    beside = (lambda: other.append(commands.keeper.start(*args))) if two else None
    commands.killed("founding", *args, waits=beside)
    for each in other:
        if commands.chance.random() < 0.5:
            each.kill()
        commands.keeper.ended(each)
    code = commands.through("founding", *args)
    faults = [] if code == 0 else [f"the first load after a kill ended with {code}"]
    workshop = open_workshop(fresh, create=False)
    try:
        faults += [*_founded(workshop)]
    finally:
        workshop.close()
    if not faults:
        for left in fresh.parent.glob(f"{fresh.name}*"):
            left.unlink()
    return faults


def _founded(workshop: Workshop) -> list[str]:
    said = [f"{each.check} {each.at}: {each.says}" for each in audit(workshop).faults]
    number = running_edition(workshop).number
    with workshop.database.reading() as section:
        loaded = section.one("select count(*) from events where kind = 'edition.loaded'")[0]
    if (number, loaded) != (16, 1):
        said.append(f"a fresh file has edition {number}, founded {loaded} times")
    return said
