"""A served demo workshop with a day's orders in it, for the tests of this folder."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import expect
from werkzeug.serving import make_server

from buildsheet.actions.show_wheel import list_wheels
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.web.app import create_app
from tests.workshops import EXAMPLES, Dice, loaded_file, morning

__all__ = ["Served", "loaded_file", "served"]

# How long a page may take on a machine that has other things to do; nobody waits longer than it takes.
expect.set_options(timeout=20_000)


@dataclass(frozen=True)
class Served:
    """Where the workshop answers, and the workshop behind it."""

    address: str
    workshop: Workshop

    def bench(self, place: int = 0) -> str:
        """The address of the bench page of the newest wheel but ``place``."""
        return f"{self.address}/w/{list_wheels(self.workshop)[place].sheet.code}"


@pytest.fixture(scope="module")
def served(loaded_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    path = tmp_path_factory.mktemp("served") / "workshop.db"
    workshop = open_workshop(Path(shutil.copy(loaded_file, path)), clock=morning, chance=Dice())
    for name in ("D-1001", "D-1002", "D-1009", "refused/lacing.head-clearance"):
        took = take_order(workshop, (EXAMPLES / f"{name}.json").read_bytes())
        assert took.outcome == "taken", took.findings
    server = make_server("127.0.0.1", 0, create_app(workshop), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield Served(f"http://127.0.0.1:{server.server_port}", workshop)
    server.shutdown()
    thread.join()
    server.server_close()
    workshop.close()
