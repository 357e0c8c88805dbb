"""An edition's parts for reading: found by code, name and state; one part with its figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.parts import Part


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part in a list."""

    kind: str
    code: str
    name: str
    state: str


def parts_of(edition: Edition, kind: str) -> Mapping[str, Part]:
    """The parts of one kind by code. Raises KeyError for a kind that there is not."""
    if kind not in KINDS:
        raise KeyError(kind)
    parts: Mapping[str, Part] = getattr(edition, kind)
    return parts


def find_parts(
    edition: Edition, *, kind: str = "", words: str = "", state: str = ""
) -> tuple[PartLine, ...]:
    """Parts whose code or name holds every word, of this kind and state; '' asks for any."""
    return matching(_lines(edition, kind), words, state)


def matching(lines: Iterable[PartLine], words: str, state: str) -> tuple[PartLine, ...]:
    """Those lines whose code or name holds every word, and that have this state; '' asks for any."""
    wanted = words.lower().split()
    return tuple(
        line
        for line in lines
        if state in ("", line.state)
        and all(word in f"{line.code} {line.name}".lower() for word in wanted)
    )


def _lines(edition: Edition, kind: str) -> Iterator[PartLine]:
    for each in KINDS:
        if kind in ("", each):
            for part in parts_of(edition, each).values():
                yield PartLine(each, part.code, part.name, part.state)


def counted_by_kind(edition: Edition) -> Mapping[str, int]:
    """How many parts of each kind the edition has."""
    return {kind: len(parts_of(edition, kind)) for kind in KINDS}


def part_values(edition: Edition, kind: str, code: str) -> dict[str, Any]:
    """A part's values as its table has them: what is unknown or left at its default is not there.

    Raises KeyError where the edition has no such part.
    """
    part = parts_of(edition, kind)[code]
    values = part.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
    values.setdefault("state", part.state)
    del values["code"]
    return values
