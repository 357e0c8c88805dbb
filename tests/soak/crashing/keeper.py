"""A process that has everything imported and starts commands of the program by forking.

Servers and commands then begin at once, so that a kill at a random moment meets their work and not
Python's imports. Each gets a process group of its own.
"""

from __future__ import annotations

import importlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import NoReturn

from buildsheet.actions.choices import warm_choices
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import open_workshop
from tests.bench.serving.server import free_port, wait_for
from tests.soak.crashing.documents import every_order

IMPORTED = (
    "granian.server.mp",
    "buildsheet.web.app",
    "buildsheet.cli.serve",
    "buildsheet.cli.backup",
    "buildsheet.cli.catalog.files",
    "buildsheet.cli.catalog.publish",
    "buildsheet.actions.load_catalog",
    "buildsheet.actions.desk.documents",
    "buildsheet.actions.restore",
    "buildsheet.actions.health",
    "buildsheet.wheel.truing.least_squares",
    "scipy.interpolate",
)
GONE_S = 10.0


@dataclass(frozen=True, slots=True)
class Started:
    """A command that runs: its process, which is also the number of its group."""

    pid: int

    def kill(self) -> None:
        """End it and all it started, now."""
        try:
            os.killpg(self.pid, signal.SIGKILL)
        except ProcessLookupError:
            return

    def children(self) -> list[int]:
        """The processes that it started itself and that still run."""
        try:
            said = Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text()
        except OSError:
            return []
        return [int(each) for each in said.split() if runs(int(each))]


@dataclass(frozen=True, slots=True)
class Server:
    """A server that listens."""

    started: Started
    port: int

    def kill(self) -> None:
        """End all its processes, and come back when none of them runs any more."""
        processes = [self.started.pid, *self.started.children()]
        self.started.kill()
        end = time.monotonic() + GONE_S
        while any(map(runs, processes)):
            if time.monotonic() > end:
                raise RuntimeError(f"still there after a kill: {processes}")
            time.sleep(0.002)


def runs(pid: int) -> bool:
    """Whether a process is there and not dead already."""
    try:
        said = Path(f"/proc/{pid}/stat").read_text()
    except OSError:
        return False
    return said.rpartition(")")[2].split()[0] not in ("Z", "X")


class Keeper:
    """Starts commands of the program; `close` ends whatever still runs."""

    def __init__(self, warm: Path, log: Path) -> None:
        """``warm`` is a copy as `warm` takes it."""
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.soak.crashing.keeper", str(warm), str(log)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        if self._said() != "ready":
            raise RuntimeError("the keeper did not start")

    def warm(self, copy: Path) -> None:
        """Find out about the running edition of this copy what a server finds out while it serves: all that
        can be chosen, and what becomes of the senders' orders. Servers started from now on inherit it."""
        self._told({"warm": str(copy)})

    def start(self, *args: str) -> Started:
        """Run ``buildsheet`` with these arguments."""
        return Started(int(self._told({"start": args})))

    def serve(self, file: Path) -> Server:
        """A server with two workers over this file, once it listens."""
        port = free_port()
        started = self.start("serve", "--db", str(file), "--port", str(port), "--workers", "2")
        wait_for(port, lambda: None if runs(started.pid) else self.ended(started))
        return Server(started, port)

    def ended(self, started: Started) -> int:
        """Wait for a command: its exit code, or the signal that ended it as a negative number."""
        return int(self._told({"wait": started.pid}))

    def _told(self, asked: object) -> str:
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps(asked) + "\n")
        self._process.stdin.flush()
        return self._said()

    def _said(self) -> str:
        assert self._process.stdout is not None
        line = self._process.stdout.readline().strip()
        if not line:
            raise RuntimeError("the keeper has left")
        return line

    def __enter__(self) -> Keeper:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        trouble: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait()


def _become(args: Sequence[str], log: Path) -> NoReturn:
    """In a child: the command, and nothing of this module after it."""
    code = 70
    try:
        os.setpgid(0, 0)
        with log.open("ab") as said, Path(os.devnull).open("rb") as nothing:
            os.dup2(nothing.fileno(), 0)
            os.dup2(said.fileno(), 1)
            os.dup2(said.fileno(), 2)
        sys.argv = ["buildsheet", *args]
        importlib.import_module("buildsheet.cli").main()
        code = 0
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else 1
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _warm(copy: Path) -> None:
    opened = open_workshop(copy)
    warm_choices(opened)
    for number, document in enumerate(every_order()):
        take_order(opened, json.dumps({**document, "number": f"warm-{number}"}).encode())
    opened.close()


def _keep(warm: Path, log: Path) -> None:
    for name in IMPORTED:
        importlib.import_module(name)
    _warm(warm)
    print("ready", flush=True)
    running: set[int] = set()
    try:
        for line in sys.stdin:
            asked = json.loads(line)
            if "start" in asked:
                child = os.fork()
                if child == 0:
                    _become(asked["start"], log)
                os.setpgid(child, child)
                running.add(child)
                print(child, flush=True)
            elif "warm" in asked:
                _warm(Path(asked["warm"]))
                print("warm", flush=True)
            else:
                code = os.waitstatus_to_exitcode(os.waitpid(asked["wait"], 0)[1])
                running.discard(asked["wait"])
                print(code, flush=True)
    finally:
        for child in running:
            Started(child).kill()


if __name__ == "__main__":
    _keep(Path(sys.argv[1]), Path(sys.argv[2]))
