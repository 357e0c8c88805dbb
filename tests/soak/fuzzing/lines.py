"""Which inputs reach lines of the program that no input reached before."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any, Final

import buildsheet

ROOT: Final = str(Path(buildsheet.__file__).parent)

PATIENCE: Final = 400
"""Calls of a function without a new line, after which it is watched now and then only."""


class Lines:
    """The lines of the program that were reached, as (function, line). A watched call costs several
    times as much, so a function that says nothing new is left alone until `wake`."""

    def __init__(self) -> None:
        self.seen: set[tuple[int, int]] = set()
        self._patience: dict[int, int] = {}
        self._fresh = False

    @property
    def count(self) -> int:
        """Lines reached so far."""
        return len(self.seen)

    def wake(self) -> None:
        """Watch every function of the program again."""
        self._patience = {}

    @contextmanager
    def watched(self) -> Iterator[None]:
        """Watch whatever is called inside."""
        self._fresh = False
        sys.settrace(self._called)
        try:
            yield
        finally:
            sys.settrace(None)

    @property
    def fresh(self) -> bool:
        """Whether the last watch saw a line for the first time."""
        return self._fresh

    def _called(self, frame: FrameType, event: str, given: Any) -> Any:
        code = frame.f_code
        left = self._patience.get(id(code))
        if left is None:
            left = PATIENCE if code.co_filename.startswith(ROOT) else 0
        elif left:
            left -= 1
        self._patience[id(code)] = left
        return self._line if left else None

    def _line(self, frame: FrameType, event: str, given: Any) -> Any:
        if event == "line":
            here = (id(frame.f_code), frame.f_lineno)
            if here not in self.seen:
                self.seen.add(here)
                self._fresh = True
                self._patience[id(frame.f_code)] = PATIENCE
        return self._line
