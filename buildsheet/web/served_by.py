"""A worker leaves when the server that started it is gone.

Left alone it would go on answering, keep the port from the next server, and nobody would put another worker
in its place where it fails.
"""

from __future__ import annotations

import os
import signal
import time
from threading import Thread
from typing import Final

SERVER_VARIABLE: Final = "BUILDSHEET_SERVER"
"""The process that starts the workers; not set where another program does."""

LOOK_S: Final = 1.0
LEAVE_S: Final = 10.0
"""How long running requests may take to their end, as when the server itself is stopped."""


def leave_with_server() -> None:
    """Watch the server beside the work, in a worker that was started by one that said who it is."""
    given = os.environ.get(SERVER_VARIABLE, "")
    if given.isdecimal():
        Thread(target=_leave_after, args=(int(given),), daemon=True, name="server-watch").start()


def _leave_after(server: int) -> None:
    while os.getppid() == server:
        time.sleep(LOOK_S)
    # The system ends the process then, even where it hangs and no thread of it comes to its turn any more.
    signal.setitimer(signal.ITIMER_REAL, LEAVE_S)
    while True:
        # More than once: a worker that has just begun does not listen yet.
        os.kill(os.getpid(), signal.SIGTERM)
        time.sleep(LOOK_S)
