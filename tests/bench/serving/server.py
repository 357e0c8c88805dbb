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
    blocking_threads=4,
    log_access=False,
    log_enabled=False,
).serve()
"""
"""As `buildsheet serve` starts it, for whatever application."""

PATIENCE_S = 20.0


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
