"""Wheels that a reading stopped: a spoke was found too tight, and no reading since says otherwise.

A reading that could not be judged takes no stop back, and neither does a new issue of the sheet: the
spokes are as they were. A wheel whose spokes came out stands under no reading of before.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.storage import bench, moves
from buildsheet.storage.bench import StoredPass
from buildsheet.storage.database import Section
from buildsheet.storage.moves import Restart
from buildsheet.storage.wheels import StoredWheel

ABOVE_STOP: Final = "bench.above-stop"
LACED: Final = "half-way"
"""The station that a change keeps where the spokes stay in the wheel."""


def stop_of(passes: Sequence[StoredPass], restarts: Sequence[Restart]) -> StoredPass | None:
    """The pass that stops a wheel with these passes, oldest first; None where nothing does."""
    first = _first_laced(restarts)
    for each in reversed(passes):
        if each.number < first:
            return None
        if each.word != "not-judged":
            return each if each.word == "stop" else None
    return None


def stopped_at(section: Section, serials: Sequence[str]) -> dict[str, int]:
    """Serial -> number of the pass that stops it, for those of these wheels that are stopped."""
    return {
        serial: number
        for serial, number, word in bench.last_words(section, serials)
        if word == "stop" and number >= _first_laced(moves.restarts_of(section, serial))
    }


def stopped_wheels(workshop: Workshop, wheels: Iterable[StoredWheel]) -> dict[str, int]:
    """The same of wheels that are shown."""
    with workshop.database.reading() as section:
        return stopped_at(section, [each.serial for each in wheels])


def stop_as_json(stop: StoredPass, sides: Mapping[int, str]) -> dict[str, Value]:
    """Which spokes were too tight, by how much, and what is slackened first; ``sides`` by hole."""
    answer: dict[str, Any] = json.loads(stop.answer)
    tight = (each for each in answer["findings"] if each["code"] == ABOVE_STOP)
    return {
        "pass": stop.number,
        "issue": stop.issue,
        "by": stop.read_by,
        "at": stop.read_at,
        "spokes": [_spoke(each, sides) for each in tight],
        "slacken": answer["advice"]["rounds"],
    }


def _spoke(finding: Mapping[str, Any], sides: Mapping[int, str]) -> dict[str, Value]:
    have, need = finding["have"], finding["need"]
    return {
        "hole": have["hole"],
        "side": sides.get(have["hole"]),
        "reads_n": have["reads_n"],
        "at_most_n": have["at_most_n"],
        "stop_n": need["reads_n"]["at_most"],
        "limit_n": need["limit_n"],
        "says": finding["says"],
    }


def _first_laced(restarts: Sequence[Restart]) -> int:
    """The number of the first pass of the spokes that are in the wheel now."""
    return max((each.passes for each in restarts if LACED not in each.keeps), default=0) + 1
