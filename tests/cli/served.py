"""The service as somebody starts it: its processes, its port, what it said; ended with the test."""

from __future__ import annotations

import fcntl
import http.client
import json
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from typing import Any

from buildsheet.actions.audit.run import audit
from buildsheet.actions.workshop import open_workshop
from buildsheet.storage.database import Section
from tests.workshops import Document, example, raw

PATIENCE_S = 60.0
"""Much longer than anything here takes, on a machine that has other work."""

ESTABLISHED = "01"
"""A state of a line in the kernel's table [proc(5), tcp_states.h; memory]."""

COMMAND = """
import sys
import buildsheet.cli.serve as serve
serve.STOP_LIMIT_S = float(sys.argv.pop(1))
from buildsheet.cli import main
main()
"""


@dataclass
class Served:
    """A service that runs. ``answers`` is what senders got, by order number: a status, or None where
    the line broke."""

    process: subprocess.Popen[bytes]
    port: int
    database: Path
    log: Path
    answers: dict[str, int | None] = field(default_factory=dict)
    senders: list[Thread] = field(default_factory=list)

    def ask(self, method: str, path: str, body: bytes | None = None) -> tuple[int, bytes]:
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        try:
            line.request(method, path, body, {"Content-Type": "application/json"})
            answer = line.getresponse()
            return answer.status, answer.read()
        finally:
            line.close()

    def post(self, number: str) -> None:
        """Send an order from another thread; its answer comes into ``answers``."""
        sender = Thread(target=self._post, args=(number,))
        sender.start()
        self.senders.append(sender)

    def _post(self, number: str) -> None:
        self.answers[number] = None
        try:
            self.answers[number], _ = self.ask("POST", "/api/v1/orders", raw(order(number)))
        except (OSError, http.client.HTTPException):
            return

    def has_read(self, count: int) -> bool:
        """Whether it holds so many lines and has read all that was sent on them."""
        waiting = [
            row[4].partition(":")[2]
            for row in map(
                str.split, Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()
            )
            if row[1].endswith(f":{self.port:04X}") and row[3] == ESTABLISHED
        ]
        return len(waiting) >= count and all(int(each, 16) == 0 for each in waiting)

    def all_sent(self) -> None:
        for sender in self.senders:
            sender.join(PATIENCE_S)
            assert not sender.is_alive()

    def workers(self) -> list[int]:
        """The processes that answer."""
        main = self.process.pid
        text = Path(f"/proc/{main}/task/{main}/children").read_text(encoding="ascii")
        return [int(each) for each in text.split()]

    def is_refused(self) -> bool:
        """Whether nobody new is let in."""
        try:
            socket.create_connection(("127.0.0.1", self.port), PATIENCE_S).close()
        except ConnectionRefusedError:
            return True
        return False

    def lines(self) -> list[dict[str, Any]]:
        """What it said, once it is gone."""
        self.process.wait(timeout=PATIENCE_S)
        return [json.loads(line) for line in self.said().splitlines() if line.startswith("{")]

    def said(self, words: str = "") -> str:
        """Everything it said so far; or only the lines with these words."""
        lines = self.log.read_text(encoding="utf-8").splitlines(keepends=True)
        return "".join(line for line in lines if words in line)


def order(number: str) -> Document:
    return example("D-1001", **{"/number": number})


def until(what: Any) -> None:
    """Wait until something holds."""
    end = time.monotonic() + PATIENCE_S
    while not what():
        assert time.monotonic() < end
        time.sleep(0.05)


@contextmanager
def starting(database: Path, *, stop_limit_s: float = 10.0) -> Iterator[Served]:
    """A service of two workers over this file, from its first moment on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = int(free.getsockname()[1])
    command = ["serve", "--db", str(database), "--port", str(port), "--workers", "2"]
    log = database.with_name("served.log")
    with log.open("wb") as said:
        process = subprocess.Popen(
            [sys.executable, "-c", COMMAND, str(stop_limit_s), *command],
            stdout=subprocess.DEVNULL,
            stderr=said,
        )
    served = Served(process, port, database, log)
    try:
        yield served
    finally:
        if process.poll() is None:
            workers = served.workers()
            process.send_signal(signal.SIGTERM)
            try:
                process.wait(timeout=PATIENCE_S)
            except subprocess.TimeoutExpired:
                for each in (*workers, process.pid):
                    subprocess.run(["kill", "-9", str(each)], check=False)
        print(served.said())  # noqa: T201 - shown where a test fails


@contextmanager
def serving(database: Path, *, stop_limit_s: float = 10.0) -> Iterator[Served]:
    """A service whose two workers both answer."""
    with starting(database, stop_limit_s=stop_limit_s) as served:
        until(lambda: served.said("Started worker-").count("\n") == 2)
        assert served.ask("GET", "/healthz")[0] == 200
        yield served


@contextmanager
def held_up(database: Path) -> Iterator[None]:
    """Nobody writes meanwhile: whoever posts an order waits for the end of this."""
    with database.with_name(f"{database.name}-lock").open("ab") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def taken(database: Path) -> set[str]:
    """The numbers of all orders in the file, which an audit finds whole."""
    workshop = open_workshop(database)
    try:
        assert audit(workshop).faults == []
        with workshop.database.reading() as section:
            return numbers(section)
    finally:
        workshop.close()


def numbers(section: Section) -> set[str]:
    return {str(row[0]) for row in section.rows("select number from orders")}
