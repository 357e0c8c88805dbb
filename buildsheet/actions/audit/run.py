"""The whole audit. It reads and writes nothing; the service may go on meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from buildsheet.actions.audit import file
from buildsheet.actions.audit.notes import Notes
from buildsheet.actions.audit.taken import orders_again
from buildsheet.actions.audit.texts import editions_again, plans_again
from buildsheet.actions.audit.wheels import bench_again, records_again
from buildsheet.actions.stock.shelf import disagreements
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.storage import stock
from buildsheet.storage.database import Section

Check = Callable[[Section, Notes], None]


def audit(workshop: Workshop) -> Notes:
    """Every fault of the workshop file, gathered to the end.

    What a damaged file does not give out is a fault, too, and the other checks go on.
    """
    notes = Notes()
    plans: dict[str, str] = {}
    serials: list[str] = []
    checks: Mapping[str, Check] = {
        "file": file.engine,
        "numbers": file.numbers,
        "strays": file.strays,
        "editions": editions_again,
        "plans": lambda section, notes: plans.update(plans_again(section, notes)),
        "orders": partial(orders_again, plans=plans),
        "bench": lambda section, notes: serials.extend(bench_again(section, notes)),
    }
    for name, check in checks.items():
        try:
            # A section each: one that a damaged page ends takes no other along.
            with workshop.database.reading() as section:
                check(section, notes)
        except (WorldError, LookupError, TypeError, ValueError) as trouble:
            # The last three: something is stored that this program never writes.
            notes.fault(name, "file", f"could not be read to the end: {trouble}")
    _shelves(workshop, notes)
    records_again(workshop, notes, tuple(serials))
    return notes


def _shelves(workshop: Workshop, notes: Notes) -> None:
    """The kept sums against the movements added up anew."""
    try:
        with workshop.database.reading() as section:
            notes.saw("stock", len(stock.every_level(section)))
        for said in disagreements(workshop):
            item, _, says = said.partition(": ")
            notes.fault("stock", item, says)
    except WorldError as trouble:
        notes.fault("stock", "file", f"could not be read to the end: {trouble}")
