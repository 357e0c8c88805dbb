"""One thing that a form at the stand asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "line",
    "lines",
    "number",
    "whole",
    "numbers",
    "yes-no",
    "choice",
    "pick",
    "ticks",
    "rows",
    "told",
]
"""A word or label; several; a number; a whole number; several numbers; a question; one of a few; one of
many; all that apply; the pick list; nothing asked, only told."""

Values = Mapping[str, tuple[str, ...]]
"""Name of an input -> what stands in it."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the pick list: the part as its label says it, what it is, how many are wanted."""

    part: str
    what: str
    wanted: int


@dataclass(frozen=True, slots=True)
class Field:
    """``name`` is the place in the document, dots between levels; ``wanted`` what the sheet asks there.

    ``choices`` are (value, words); ``many`` how many boxes several numbers or labels have.
    """

    name: str
    label: str
    kind: Kind
    unit: str = ""
    wanted: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    many: int = 0
    rows: tuple[Row, ...] = ()
    needed: bool = False

    @property
    def html_id(self) -> str:
        """The name as an id of an HTML element."""
        return "f-" + self.name.replace(".", "-").replace("_", "-")


BY = Field("by", "Your name", "line", needed=True)
