"""The editions, each with its paper: who published it, why, when it starts, and what it changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from buildsheet.actions.editions import edition_numbered, has_come, in_force
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.differences import Differences, differences
from buildsheet.catalog.second_person import needs_second_person
from buildsheet.findings import Value
from buildsheet.storage import editions
from buildsheet.storage.editions import StoredEdition, StoredPaper

Standing = Literal["running", "scheduled", "past"]


@dataclass(frozen=True, slots=True)
class EditionLine:
    """One edition and its paper. ``paper`` is None where an older version of this program loaded it;
    ``standing``: it runs, it starts later, or another one has taken its place."""

    stored: StoredEdition
    paper: StoredPaper | None
    standing: Standing

    @property
    def number(self) -> int:
        """The edition's number."""
        return self.stored.number

    def as_json(self) -> dict[str, Value]:
        """Members in a fixed order."""
        paper = self.paper
        return {
            "number": self.stored.number,
            "standing": self.standing,
            "digest": self.stored.digest,
            "starts": self.stored.starts,
            "published_at": self.stored.loaded_at,
            "kind": paper.kind if paper else None,
            "author": paper.author if paper else None,
            "approver": paper.approver if paper else None,
            "reason": paper.reason if paper else None,
            "based_on": paper.based_on if paper else None,
            "equal_to": paper.equal_to if paper else None,
        }


@dataclass(frozen=True, slots=True)
class EditionView:
    """One edition with what it says differently from the one it was based on (None for a first one)."""

    line: EditionLine
    before: int | None
    differences: Differences | None
    second: tuple[str, ...]

    def as_json(self) -> dict[str, Value]:
        """The line, and the differences after it."""
        return {
            **self.line.as_json(),
            "before": self.before,
            "differences": self.differences.as_json() if self.differences is not None else None,
            "second_person": list(self.second),
        }


def list_editions(workshop: Workshop) -> tuple[EditionLine, ...]:
    """Every edition, the newest first."""
    now = workshop.clock()
    with workshop.database.reading() as section:
        stored = editions.everyone(section)
        papers = editions.papers(section)
        running = in_force(section, now)

    def standing(each: StoredEdition) -> Standing:
        if running is not None and each.number == running.number:
            return "running"
        later = running is not None and each.number > running.number
        return "scheduled" if later and not has_come(each.starts, now) else "past"

    return tuple(
        EditionLine(each, papers.get(each.number), standing(each)) for each in reversed(stored)
    )


def show_edition(workshop: Workshop, number: int) -> EditionView | None:
    """One edition with its differences; None for an unknown number."""
    lines = list_editions(workshop)
    line = next((each for each in lines if each.number == number), None)
    if line is None:
        return None
    before = line.paper.based_on if line.paper else _number_before(lines, number)
    if before is None:
        return EditionView(line, None, None, ())
    changed = differences(edition_numbered(workshop, before), edition_numbered(workshop, number))
    return EditionView(line, before, changed, needs_second_person(changed))


def _number_before(lines: tuple[EditionLine, ...], number: int) -> int | None:
    return max((each.number for each in lines if each.number < number), default=None)
