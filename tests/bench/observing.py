"""What counting a request and saying it in the log costs, in processor time of the worker.

The same bare application twice, with and without being observed, asked by turns; counts in a shared
directory and lines to the null device, as a worker of ``serve`` has them.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from time import thread_time

from flask import Flask
from werkzeug.test import create_environ

from buildsheet.web.observing.lines import LEVELS
from buildsheet.web.observing.shared import shared_counts
from buildsheet.web.observing.watch import RequestLog, observe

ROUNDS, REQUESTS = 40, 500


def bare(level: str | None) -> Flask:
    """An application that only answers; observed at this level of the log, or not at all."""
    app = Flask("bare")
    if level is not None:
        observe(app, lambda: None, RequestLog(LEVELS[level]))
    app.post("/orders")(lambda: ("", 201))
    return app


def microseconds(app: Flask) -> float:
    """Processor time of one request, over a round."""
    environ = create_environ("/orders", method="POST")
    start = thread_time()
    for _ in range(REQUESTS):
        app.wsgi_app(dict(environ), lambda *_: lambda _: None)
    return (thread_time() - start) / REQUESTS * 1e6


def measured() -> None:
    """Prints to standard output; standard error is given away to the lines."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    apps = {"bare": bare(None), "counted": bare("error"), "counted and said": bare("info")}
    rounds = [{name: microseconds(app) for name, app in apps.items()} for _ in range(ROUNDS)]
    for name in apps:
        cost_us = statistics.median(each[name] for each in rounds)
        more_us = statistics.median(each[name] - each["bare"] for each in rounds)
        print(f"{name:18}{cost_us:8.1f} us a request{more_us:8.1f} us more than bare")


def main() -> None:
    # The counting library looks for its directory when it is imported: a process of its own.
    with shared_counts():
        command = [sys.executable, "-c", "from tests.bench.observing import measured; measured()"]
        subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
