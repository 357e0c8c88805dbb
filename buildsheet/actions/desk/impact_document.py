"""An impact as the document that other systems and ``--json`` are given."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, fields
from typing import Any

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.space.builds import FigureRow
from buildsheet.space.drilling import DrillingNeed
from buildsheet.space.impact.examples import Example
from buildsheet.space.impact.impact import Impact
from buildsheet.space.impact.orders import Moved, WheelFigures
from buildsheet.space.impact.proposals import Proposed
from buildsheet.space.impact.released import Released
from buildsheet.space.impact.shelves import Stranded
from buildsheet.space.standing.contradictions import Contradiction, contradictions
from buildsheet.space.standing.parts import DeadPart, OnlyChoice, dead_parts, only_choices
from buildsheet.space.standing.rules import RuleStanding, idle_rules
from buildsheet.space.standing.used import used

Document = dict[str, Any]

SHOWN: tuple[str, ...] = tuple(each.name for each in fields(FigureRow))


def impact_document(impact: Impact) -> Document:
    """Members in a fixed order."""
    counted = impact.configurations
    return {
        "edition": impact.old,
        "draft": impact.new,
        "nothing": impact.nothing,
        "configurations": {
            "before": counted.old,
            "after": counted.new,
            "appear": counted.appear,
            "disappear": counted.disappear,
            "change": counted.change,
            "by_figure": dict(counted.by_group),
        },
        "examples": {kind: list(map(_example, some)) for kind, some in impact.examples.items()},
        "orders": {
            "open": impact.open_orders,
            "touched": len(impact.orders),
            "by_state": by_state(impact),
            "list": list(map(_order, impact.orders)),
        },
        "parts": {
            "dead": list(map(_dead, impact.dead)),
            "revived": list(map(_dead, impact.revived)),
            "only_choices": list(map(_only, impact.only)),
            "no_longer_only": list(map(_only, impact.freed)),
        },
        "rules": {
            "idle": list(map(_rule, impact.idle)),
            "no_longer_idle": list(map(_rule, impact.woken)),
            "contradictions": list(map(_contradiction, impact.contradictions)),
        },
        "lengths": [
            {
                "spoke": each.spoke,
                "fewest": list(each.fewest),
                "needed_mm": list(each.needed_mm),
                "dead_mm": list(each.dead_mm),
            }
            for each in impact.lengths
        ],
        "drilling": list(map(drilling_document, impact.drilling)),
        "missing_decals": [
            {
                "colour": each.colour,
                "size": each.size,
                "hands": list(each.hands),
                "rims": list(each.rims),
            }
            for each in impact.missing_decals
        ],
        "stranded": list(map(_stranded, impact.stranded)),
    }


def by_state(impact: Impact) -> dict[str, dict[str, int]]:
    """State -> proposal -> how many open orders."""
    counts = Counter((each.touched.order.state, each.proposal) for each in impact.orders)
    found: dict[str, dict[str, int]] = {}
    for (state, proposal), number in sorted(counts.items()):
        found.setdefault(state, {})[proposal] = number
    return found


def drilling_document(need: DrillingNeed) -> Document:
    """One kind of drilled rim."""
    return {
        "rim": need.of.rim,
        "holes": need.of.holes,
        "position": need.of.position,
        "drilling": need.of.drilling,
        "builds": need.builds,
        "taken": list(need.taken),
        "unused": list(need.unused),
        "unserved": need.unserved,
        "missing": [asdict(each) for each in need.missing],
        "fewest": need.fewest,
        "proved": need.proved,
    }


def _example(example: Example) -> Document:
    change = example.change
    return {
        "position": change.build.position,
        "wheel": change.build.members(),
        "appear": change.appear,
        "disappear": change.disappear,
        "stay": change.stay,
        "changed": list(change.changed),
        "apart": example.apart,
        "orders": example.orders,
        "before": _with(_row(change.old), change.released and change.released[0]),
        "after": _with(_row(change.new), change.released and change.released[1]),
    }


def _with(row: Mapping[str, Value] | None, released: Released | None) -> Mapping[str, Value] | None:
    """The figures, and what the wheel is released for where that changes."""
    return {**row, **asdict(released)} if row and released else row


def _row(row: FigureRow | None) -> Mapping[str, Value] | None:
    return None if row is None else {name: getattr(row, name) for name in SHOWN}


def _order(order: Proposed) -> Document:
    of = order.touched.order
    return {
        "id": of.id,
        "source": of.source,
        "number": of.number,
        "state": of.state,
        "edition": of.edition.number,
        "proposal": order.proposal,
        "why": order.why,
        "touches": list(order.touches),
        "findings": [each.as_json() for each in order.touched.findings],
        "cleared": list(order.touched.cleared),
        "wheels": list(map(_moved, order.touched.moved)),
    }


def _moved(moved: Moved) -> Document:
    return {
        "position": moved.position,
        "changed": list(moved.names),
        "before": _figures(moved.own),
        "after": _figures(moved.new),
    }


def _figures(figures: WheelFigures | None) -> Document | None:
    if figures is None:
        return None
    values = ((each.name, getattr(figures, each.name)) for each in fields(figures))
    return {name: list(value) if isinstance(value, tuple) else value for name, value in values}


def _dead(part: DeadPart) -> Document:
    return {"kind": part.kind, "code": part.code, "variant": part.variant}


def _only(choice: OnlyChoice) -> Document:
    return {
        "position": choice.position,
        "rim": choice.rim,
        "holes": choice.holes,
        "kind": choice.kind,
        "code": choice.code,
    }


def _rule(rule: RuleStanding) -> Document:
    return {"id": rule.id, "standing": rule.standing, "says": rule.says}


def _contradiction(each: Contradiction) -> Document:
    return {"position": each.position, "rim": each.rim, "rules": list(each.rules)}


def standing_document(edition: Edition) -> Document:
    """Parts and rules that do nothing, in one edition as it is."""
    return {
        "edition": edition.number,
        "dead_parts": list(map(_dead, dead_parts(edition, used(edition)))),
        "only_choices": list(map(_only, only_choices(edition))),
        "idle_rules": list(map(_rule, idle_rules(edition))),
        "contradictions": list(map(_contradiction, contradictions(edition))),
    }


def _stranded(shelf: Stranded) -> Document:
    return {
        "item": shelf.item,
        "quantity": shelf.quantity,
        "bin": shelf.bin,
        "why": shelf.why,
        "new": not shelf.before,
    }
