"""One thing to fill in on a form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Shape = Literal["number", "whole", "line", "text", "choice", "ticks", "list", "rows"]
"""How a field is filled in: a number, a whole number, one line of text, several lines, one word, any
words of several, a list in one line, rows of a small table."""

ItemShape = Literal["number", "whole", "line"]

YES_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class Field:
    """One field. ``key`` is where its value stands in the part's table, dots between levels.

    ``default`` is what an empty field stands for; ``words`` what a choice or ticks offer; ``columns``
    the fields of a row; ``item`` what one entry of a list is; ``rows`` how high the field of
    a text is; ``wide`` one that takes the whole width.
    """

    key: str
    label: str
    unit: str
    shape: Shape
    required: bool
    allowed: str
    help: str = ""
    words: tuple[str, ...] = ()
    default: str = ""
    rows: int = 3
    wide: bool = False
    columns: tuple[Field, ...] = ()
    item: ItemShape = "line"

    @property
    def is_yes_no(self) -> bool:
        """True where the value is true or false and not a word."""
        return self.words == YES_NO

    @property
    def path(self) -> tuple[str, ...]:
        """The key, level by level."""
        return tuple(self.key.split("."))

    @property
    def html_id(self) -> str:
        """The same as an id of an HTML element."""
        return "f-" + self.key.replace(".", "-").replace("_", "-")


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that stand together; ``optional`` where all of them may stay empty together."""

    heading: str
    intro: str
    fields: tuple[Field, ...]
    optional: bool = False
