"""The demo workshop and a terminal, for the tests of this folder."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from buildsheet.cli import commands
from buildsheet.cli.edge import run
from tests.workshops import empty_workshop, loaded_file, workshop, workshop_file

__all__ = ["Said", "empty_workshop", "loaded_file", "said", "workshop", "workshop_file"]


@dataclass(frozen=True)
class Said:
    """What a command said, and the code it left with."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


@pytest.fixture
def said(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Said]:
    """Run a command in this process, as the console script does."""
    monkeypatch.delenv("BUILDSHEET_DB", raising=False)
    monkeypatch.setenv("COLUMNS", "100")

    def ask(*words: object) -> Said:
        with pytest.raises(SystemExit) as left:
            run(commands, [str(word) for word in words])
        out, err = capsys.readouterr()
        return Said(int(left.value.code or 0), out, err)

    return ask
