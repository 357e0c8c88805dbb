"""A worker without its server leaves; one whose server lives, or that was started otherwise, stays."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

WORKER = """
import os, signal, sys, time
from buildsheet.web import served_by
served_by.LOOK_S, served_by.LEAVE_S = 0.02, 0.2
server = os.getpid()
if sys.argv[1] == "said":
    os.environ[served_by.SERVER_VARIABLE] = str(server)
worker = os.fork()
if worker:
    print(worker, flush=True)
    time.sleep(60)
if sys.argv[2:] == ["deaf"]:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
served_by.leave_with_server()
time.sleep(0.5)
print("stays", flush=True)
time.sleep(60)
"""


def started(*said: str) -> tuple[subprocess.Popen[str], int]:
    """A server and the number of its worker, both in a group of their own; the pipe ends with the last."""
    server = subprocess.Popen(
        [sys.executable, "-c", WORKER, *said],
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert server.stdout is not None
    return server, int(server.stdout.readline())


def test_a_worker_leaves_when_its_server_was_killed():
    server, _ = started("said")
    server.kill()
    # Comes back only when nobody holds the pipe any more.
    server.communicate(timeout=30)
    assert server.returncode == -signal.SIGKILL


def test_a_worker_that_does_not_listen_is_ended():
    server, _ = started("said", "deaf")
    server.kill()
    server.communicate(timeout=30)
    assert server.returncode == -signal.SIGKILL


def test_a_worker_stays_with_its_server_and_where_nobody_said_who_that_is():
    lives, _ = started("said")
    other, _ = started("not said")
    other.kill()
    try:
        for each in (lives, other):
            assert each.stdout is not None
            assert each.stdout.readline() == "stays\n"
    finally:
        for each in (lives, other):
            os.killpg(each.pid, signal.SIGKILL)
            each.communicate(timeout=30)
