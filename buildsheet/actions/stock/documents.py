"""The posted list of movements: goods in, corrections, what is on its way."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import Field

from buildsheet.bench.document import Key, Member, Person
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.kind import Kind
from buildsheet.orders.document import Day

MOVEMENTS: Final = Kind("a list of stock movements", "data", DOCUMENT_CODES, most_members=4000)
"""A list of 500 lines has some 3000 values."""

MOST_LINES: Final = 500
MOST_PIECES: Final = 1_000_000

Item = Annotated[
    str, Field(pattern=r"^[A-Z0-9][A-Z0-9.-]{0,23}(/[A-Za-z0-9][A-Za-z0-9 -]{0,23})?$")
]
"""An article as pick lists name it: ``SSB9/267``, ``OR45D/24``, ``NA12/black``, ``B``."""

Line = Annotated[str, Field(max_length=200, pattern=r"^[^\x00-\x1f\x7f-\x9f]*$")]
Bin = Annotated[str, Field(max_length=24, pattern=r"^[^\x00-\x1f\x7f-\x9f]+$")]


class MovementDocument(Member):
    """One line. ``pieces`` came in, were counted on the shelf, were announced, or do not come after all.

    ``due_on`` is the day an announced delivery comes. A delivery that comes in counts against what was
    announced of its article, the earliest first; ``announced`` false says that it is another one.
    """

    kind: Literal["received", "counted", "expected", "called-off"]
    part: Item
    pieces: Annotated[int, Field(ge=0, le=MOST_PIECES)]
    bin: Bin | None = None
    due_on: Day | None = None
    announced: bool = True


class MovementsDocument(Member):
    """All lines become true together or not at all. ``reason`` is needed by corrections: ``counted`` and
    ``called-off``. The same list sent twice with the same key is entered once."""

    key: Key
    by: Person
    reason: Line = ""
    movements: Annotated[tuple[MovementDocument, ...], Field(min_length=1, max_length=MOST_LINES)]
