"""What may still be chosen: a part of an order in, every open place with its values out."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace
from threading import Lock
from typing import Any, Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value
from buildsheet.space.choices.answer import Choices, Closed, Way
from buildsheet.space.choices.assortment import Assortment, assortment_of
from buildsheet.space.choices.closing import Closing
from buildsheet.space.choices.dead_end import dead_end
from buildsheet.space.choices.part import Part, part_of, read_part
from buildsheet.space.choices.ways import Counts, count_ways


def choices(document: Mapping[str, Any], edition: Edition) -> Choices:
    """What may still be chosen after a part of an order; any part will do, also none.

    Faults of the part's form are its findings: then there are no ways, and nothing is offered.
    """
    return _choices(part_of(document), edition)


def choices_posted(raw: bytes, edition: Edition) -> Choices:
    """The same for a posted text. Never raises for what stands in it."""
    return _choices(read_part(raw), edition)


REMEMBERED: Final = 512
"""Answers kept in a process: a page asks again what another page just asked."""

_answers: OrderedDict[tuple[str, str], Choices] = OrderedDict()
_lock = Lock()


def _choices(part: Part, edition: Edition) -> Choices:
    if part.faults:
        return Choices(edition.number, 0, {}, {}, {}, {}, _placed(part.faults, edition), True)
    key = edition.digest, json.dumps(part.document, sort_keys=True)
    with _lock:
        known = _answers.get(key)
        if known is not None:
            _answers.move_to_end(key)
            return known
    answer = _found(part, edition)
    with _lock:
        _answers[key] = answer
        while len(_answers) > REMEMBERED:
            _answers.popitem(last=False)
    return answer


def _found(part: Part, edition: Edition) -> Choices:
    assortment = assortment_of(edition)
    counts = count_ways(assortment, part)
    if counts.total == 0:
        return _nowhere(assortment, part, counts)
    closing = Closing(assortment, part, counts)
    return Choices(
        edition.number,
        counts.total,
        {
            at: tuple(Way(value, ways) for value, ways in values if ways)
            for at, values in counts.places.items()
            if any(ways for _, ways in values)
        },
        {
            at: tuple(
                Closed(value, closing.finding(at, value)) for value, ways in values if not ways
            )
            for at, values in counts.places.items()
            if not all(ways for _, ways in values)
        },
        _forced(counts),
        part.assumed,
        (),
    )


def _forced(counts: Counts) -> dict[str, Value]:
    """Places where every complete order says the same."""
    return {
        at: value
        for at, values in counts.places.items()
        for value, ways in values
        if ways == counts.total
    }


def _nowhere(assortment: Assortment, part: Part, counts: Counts) -> Choices:
    """The answer to a part that no complete order has: why, and what to change."""
    findings = dead_end(assortment, part, counts)
    closed = {
        at: tuple(Closed(value, findings[0]) for value, _ in values)
        for at, values in counts.places.items()
    }
    number = assortment.edition.number
    return Choices(number, 0, {}, closed, {}, part.assumed, findings)


def _placed(findings: tuple[Finding, ...], edition: Edition) -> tuple[Finding, ...]:
    return tuple(replace(each, edition=edition.number) for each in findings)
