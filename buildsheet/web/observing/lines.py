"""One line of the log: a JSON object on standard error, short enough that lines of two workers never mix.

What an exception says is left out, because it may repeat what somebody sent; its type and its place in the
program are in. Sentences of the program's own are in as they are.
"""

from __future__ import annotations

import json
import logging
import os
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path
from time import gmtime, strftime, time
from types import TracebackType
from typing import Any, Final

LEVELS: Final = {
    "debug": logging.DEBUG,
    "info": logging.INFO,
    "warning": logging.WARNING,
    "error": logging.ERROR,
}
MOST_BYTES: Final = 4096
"""A pipe takes no more than this in one piece [pipe(7): PIPE_BUF on Linux; memory]."""

_MOST_SAID: Final = 250
"""Characters of a sentence; one that is not ASCII is up to twelve bytes of a line."""

_STDERR: Final = 2
_ROOTS: Final = (str(Path(__file__).parents[3]), *sys.path)


class JsonLines(logging.Formatter):
    """A record as one line: time, level, who says it, what, and where a fault came from."""

    def format(self, record: logging.LogRecord) -> str:
        """The line, without its end."""
        members: dict[str, Any] = {
            "time": time_text(datetime.fromtimestamp(record.created, UTC)),
            "level": record.levelname.lower(),
            "logger": record.name,
            "says": record.getMessage()[:_MOST_SAID],
        }
        for name in ("request", "route"):
            if (value := getattr(record, name, None)) is not None:
                members[name] = value
        error = record.exc_info[1] if record.exc_info else None
        return _fitting(members, error)


def _fitting(members: dict[str, Any], error: BaseException | None) -> str:
    """The members as text; of a deep fault the outermost places are left out until it fits."""
    if error is None:
        return _compact(members)
    at = places(error.__traceback__)
    while True:
        text = _compact({**members, "fault": {"types": types(error), "at": at}})
        if len(text) < MOST_BYTES or not at:
            return text
        at = at[max(1, len(at) // 8) :]


def _compact(members: dict[str, Any]) -> str:
    return json.dumps(members, separators=(",", ":"))


def types(error: BaseException) -> list[str]:
    """The exception's type, and those of what it came from: the last one was the first to happen.

    >>> try:
    ...     raise KeyError("secret") from ValueError("secret")
    ... except KeyError as error:
    ...     types(error)
    ['KeyError', 'ValueError']
    """
    found: list[str] = []
    following: BaseException | None = error
    while following is not None and len(found) < 5:
        found.append(type(following).__qualname__[:100])
        following = following.__cause__ or following.__context__
    return found


def places(trace: TracebackType | None) -> list[str]:
    """Every place that a fault passed, the innermost last: ``buildsheet/web/app.py:34 create_app``."""
    found = []
    while trace is not None:
        code = trace.tb_frame.f_code
        found.append(f"{_short(code.co_filename)}:{trace.tb_lineno} {code.co_qualname}")
        trace = trace.tb_next
    return found


def _short(file: str) -> str:
    """A file's name within its package, wherever that is installed."""
    roots = [root for root in _ROOTS if root and file.startswith(f"{root}{os.sep}")]
    return file[len(max(roots, key=len)) + 1 :] if roots else file


def time_text(moment: datetime) -> str:
    """RFC 3339 in UTC, to the millisecond.

    >>> time_text(datetime(2031, 5, 1, 8, 0, 0, 250000, tzinfo=UTC))
    '2031-05-01T08:00:00.250Z'
    """
    return moment.isoformat(timespec="milliseconds")[:-6] + "Z"


_second: tuple[int, str] = (0, "")


def now_text() -> str:
    """This moment as `time_text` has it; the second is put into words once for all its lines."""
    global _second  # noqa: PLW0603 - replaced whole, so that threads never see half of it
    moment_s = time()
    whole_s = int(moment_s)
    known_s, text = _second
    if whole_s != known_s:
        text = strftime("%Y-%m-%dT%H:%M:%S", gmtime(whole_s))
        _second = (whole_s, text)
    return f"{text}.{int((moment_s - whole_s) * 1000.0):03d}Z"


def put(line: str) -> None:
    """Write one line; a log that cannot be written keeps nobody from being answered."""
    try:
        os.write(_STDERR, f"{line}\n".encode())
    except OSError:
        return


class Meant(logging.Filter):
    """Leaves out that the server wonders at more threads than two for each processor and one: they are
    meant, and work in turn (`storage.gathering`)."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Whether the record is to be said."""
        return not record.getMessage().startswith("Configuration allows spawning up to ")


def logging_config(level: str) -> dict[str, Any]:
    """What the server sets up logging by, in itself and in its workers: every logger speaks in lines."""
    loud = {"handlers": ["console"], "level": LEVELS[level], "propagate": False}
    form = {"()": f"{__name__}.{JsonLines.__name__}"}
    handler = {
        "formatter": "generic",
        "filters": ["meant"],
        "class": "logging.StreamHandler",
        "stream": "ext://sys.stderr",
    }
    return {
        "filters": {"meant": {"()": f"{__name__}.{Meant.__name__}"}},
        "formatters": {"generic": form, "access": form},
        "handlers": {"console": handler, "access": handler},
        "loggers": {"_granian": loud, "granian.access": loud, "buildsheet": loud},
        "root": {"handlers": ["console"], "level": logging.WARNING},
    }


def take_over() -> None:
    """From now on also what nobody caught in this process, and its warnings, become lines."""
    logging.captureWarnings(True)
    log = logging.getLogger("buildsheet")

    def of_thread(given: threading.ExceptHookArgs) -> None:
        error = given.exc_value
        log.error("a thread ended", exc_info=error if error is not None else True)

    threading.excepthook = of_thread
