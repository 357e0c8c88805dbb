"""The application, put together from its parts around one workshop."""

from __future__ import annotations

import gc
import logging
import os
import sys
from pathlib import Path
from threading import Thread
from typing import Final

from flask import Flask

from buildsheet.actions.choices import warm_choices
from buildsheet.actions.workshop import DEFAULT_PATH, Workshop, open_workshop
from buildsheet.bench.advice import load_mechanics
from buildsheet.errors import WorldError
from buildsheet.web import guards, problems
from buildsheet.web.access import gate
from buildsheet.web.access.doors import Doors, doors_from_environment, hang
from buildsheet.web.access.who import known_already
from buildsheet.web.api import blueprint as api
from buildsheet.web.framework import App
from buildsheet.web.limits import BODY_BYTES, FORM_BYTES
from buildsheet.web.observing import lines
from buildsheet.web.observing import page as figures
from buildsheet.web.observing.watch import RequestLog, log_from_environment, observe
from buildsheet.web.pages import blueprint as pages
from buildsheet.web.served_by import leave_with_server
from buildsheet.web.turns import take_turns, wake_gently
from buildsheet.web.workshop_here import put_workshop

DATABASE_VARIABLE: Final = "BUILDSHEET_DB"

log = logging.getLogger("buildsheet.web")
YOUNG: Final = 50_000
"""Objects between two looks for rubbish: what an order makes dies by itself."""

TURN_S: Final = 0.0005
"""How long a thread keeps the interpreter while another wants it, a tenth of the usual: orders go on beside
a long question, though they give the interpreter up at each statement."""


def create_app(
    workshop: Workshop, doors: Doors | None = None, log: RequestLog | None = None
) -> Flask:
    """A Flask application over this workshop; without ``doors`` for this machine alone, without ``log``
    silent about what is asked."""
    app = App("buildsheet.web", static_folder="static", template_folder="templates")
    app.config.update(
        MAX_CONTENT_LENGTH=BODY_BYTES,
        MAX_FORM_MEMORY_SIZE=FORM_BYTES,
        MAX_FORM_PARTS=20,
        SEND_FILE_MAX_AGE_DEFAULT=3600,
    )
    app.json.sort_keys = False  # type: ignore[attr-defined]  # members keep their fixed order
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    # Two slashes in a row are a slip, not another spelling of the address.
    app.url_map.merge_slashes = False
    put_workshop(app, workshop)
    take_turns(app, workshop)
    observe(app, known_already, log)
    hang(app, doors or Doors())
    guards.guard(app)
    gate.guard(app)
    problems.answer_problems(app)
    app.register_blueprint(api)
    app.register_blueprint(pages)
    figures.add_routes(app)
    return app


def from_environment() -> Flask:
    """The application for a server's worker process: the workshop file stands in BUILDSHEET_DB.

    Ends the process, with a line in the log, where it cannot be made.
    """
    lines.take_over()
    try:
        return _of_worker(Path(os.environ.get(DATABASE_VARIABLE) or DEFAULT_PATH))
    except WorldError as trouble:
        log.error("a worker cannot start: %s", trouble)  # noqa: TRY400 - the world's words are enough
    except Exception as error:  # told in a line; the server starts another worker
        log.error("a worker cannot start", exc_info=error)  # noqa: TRY400 - as elsewhere
    raise SystemExit(1)


def _of_worker(path: Path) -> Flask:
    sys.setswitchinterval(TURN_S)
    wake_gently()
    workshop = open_workshop(path)
    app = create_app(workshop, doors_from_environment(), log_from_environment())
    Thread(target=_warm, args=(workshop,), daemon=True, name="warm").start()
    leave_with_server()
    return app


def _warm(workshop: Workshop) -> None:
    """What the first who asks would wait for: the mechanics of readings are loaded, and the first question
    about an edition finds all its wheels, some seconds of work."""
    load_mechanics()
    warm_choices(workshop)
    # What is here now stays: from now on nobody looks through it for rubbish.
    gc.collect()
    gc.freeze()
    gc.set_threshold(YOUNG, 10, 10)
