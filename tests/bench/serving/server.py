"""A production server with two worker processes on the loopback, for the time of a `with`."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

SERVE = """
import sys
from granian import Granian
from granian.constants import Interfaces

Granian(
    sys.argv[1],
    factory=True,
    address="127.0.0.1",
    port=int(sys.argv[2]),
    interface=Interfaces.WSGI,
    workers=int(sys.argv[3]),
    blocking_threads=8,
    log_access=False,
    log_enabled=False,
).serve()
"""
"""As `buildsheet serve` starts it, for whatever application."""

PATIENCE_S = 20.0
SETTLING_S = 60.0


@contextmanager
def serving(
    target: str, database: Path, workers: int = 2, *, log: Path = Path(os.devnull)
) -> Iterator[int]:
    """The port of a server that serves this application over this file; its log is appended to ``log``."""
    port = free_port()
    with log.open("ab") as said:
        process = subprocess.Popen(
            [sys.executable, "-c", SERVE, target, str(port), str(workers)],
            env={**os.environ, "BUILDSHEET_DB": str(database)},
            stdout=said,
            stderr=said,
            start_new_session=True,
        )
    try:
        wait_for(port, process.poll)
        _wait_until_idle(process.pid)
        yield port
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(PATIENCE_S)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def free_port() -> int:
    """A port of the loopback that nobody listens on."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


def wait_for(port: int, ended: Callable[[], int | None]) -> None:
    """Come back once somebody listens; ``ended`` is the server's exit code, None while it runs."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if (code := ended()) is not None:
            raise RuntimeError(f"the server left with {code}")
        try:
            socket.create_connection(("127.0.0.1", port), 0.2).close()
        except OSError:
            time.sleep(0.02)
        else:
            return
    raise RuntimeError("the server does not listen")


def _wait_until_idle(session: int) -> None:
    """Come back once the server has done what its workers do by themselves after their start: a worker
    finds all wheels of the edition, some seconds of processor that are no part of what is measured."""
    spent_s = _spent_s(session)
    for _ in range(int(SETTLING_S)):
        time.sleep(1.0)
        before_s, spent_s = spent_s, _spent_s(session)
        if spent_s - before_s < 0.1:
            return


def _spent_s(session: int) -> float:
    """Processor time of all processes of a session so far."""
    ticks = 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rpartition(")")[2].split()
        except OSError:  # it ended meanwhile
            continue
        if int(fields[3]) == session:
            ticks += int(fields[11]) + int(fields[12])
    return ticks / os.sysconf("SC_CLK_TCK")
