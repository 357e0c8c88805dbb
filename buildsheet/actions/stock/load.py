"""``stock.csv`` onto the shelves: every line as goods that came in, or as counted."""

from __future__ import annotations

from hashlib import sha256
from typing import Literal

from buildsheet.actions.editions import running_edition
from buildsheet.actions.stock.documents import MovementDocument, MovementsDocument
from buildsheet.actions.stock.move import Moved, enter
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.stock import read_stock


def load_stock(
    workshop: Workshop,
    text: str,
    *,
    by: str,
    kind: Literal["received", "counted"] = "received",
    reason: str = "",
    key: str | None = None,
    announced: bool = True,
) -> Moved:
    """Enter every line of the file, or nothing and every fault. Raises NoEdition without a catalog.

    Without a key the same file is entered as often as it is brought: goods may come in like numbers.
    ``announced`` false: none of it is a delivery that was announced.
    """
    lines, faults = read_stock(text, running_edition(workshop))
    if faults:
        return Moved("refused", faults)
    if not lines:
        return Moved("entered", (), "{}")
    movements = tuple(
        MovementDocument(
            kind=kind, part=line.item, pieces=line.quantity, bin=line.bin, announced=announced
        )
        for line in lines
        if line.quantity or kind == "counted"
    )
    # The form bounds a posted list; a file of the whole workshop may be longer.
    document = MovementsDocument.model_construct(
        key=key or fresh_key(workshop), by=by, reason=reason, movements=movements
    )
    return enter(workshop, document)


def fresh_key(workshop: Workshop) -> str:
    """A key for a list that a person enters by hand."""
    return sha256(workshop.chance(20)).hexdigest()[:24]
