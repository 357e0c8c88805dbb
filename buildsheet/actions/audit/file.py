"""The file by itself: pages, references, guards, numbers without gaps, things that lack a half."""

from __future__ import annotations

from buildsheet.actions.audit.notes import Notes
from buildsheet.storage import proof, whole
from buildsheet.storage.database import Section


def engine(section: Section, notes: Notes) -> None:
    """Pages and indexes; foreign keys; tables and triggers as this program makes them."""
    # Pages first: what they say explains whatever cannot be read afterwards.
    for said in whole.broken_pages(section):
        notes.fault("pages", "file", said)
    for said in whole.changed_schema(section):
        notes.fault("guards", "file", said)
    for table, lacks in whole.dangling(section):
        notes.fault("references", table, f"a row refers to a row of {lacks} that is not there")
    tables = len(whole.sizes(section))
    for check in ("pages", "references", "guards"):
        notes.saw(check, tables)


def numbers(section: Section, notes: Notes) -> None:
    """Events and the other numbered lists without gaps; as many orders and wheels as were numbered."""
    for table in proof.COUNTED:
        notes.saw("numbers")
        for first, last in proof.gaps(section, table):
            which = f"number {first} is" if first == last else f"numbers {first} to {last} are"
            notes.fault("numbers", table, f"{which} missing")
    for kind, year, last in proof.handed_out(section):
        notes.saw("numbers")
        beginning = f"{kind}{year % 100:02d}-"
        there = proof.numbered_alike(section, beginning)
        if there != last:
            notes.fault("numbers", beginning, f"{last} numbers were given out, {there} are there")


def strays(section: Section, notes: Notes) -> None:
    """One sheet in force for each wheel, and nothing without what it belongs to."""
    notes.saw("sheets in force", whole.sizes(section)["wheels"])
    for serial, count in proof.not_one_in_force(section):
        notes.fault("sheets in force", serial, f"{count} sheets are in force, it should be 1")
    notes.saw("strays", sum(whole.sizes(section).values()))
    for thing, name, lacks in proof.strays(section):
        notes.fault("strays", f"{thing} {name}", f"lacks {lacks}")
    for name in proof.told_to_nobody(section):
        notes.fault("strays", f"webhook {name}", "is said to have events that never happened")
    for hold, state, pieces in proof.holds_not_ended(section):
        notes.fault("stock", f"hold {hold}", f"is {state} and still holds {pieces} pieces")
