"""The way back from a part of an order that leads nowhere: what refuses it, and what to change."""

from __future__ import annotations

from dataclasses import replace

from buildsheet.findings import Change, Finding, Value, in_stable_order
from buildsheet.space.choices.assortment import Assortment
from buildsheet.space.choices.closing import Closing, detour_of, shorter, with_way
from buildsheet.space.choices.nearest import Detour, Nearest
from buildsheet.space.choices.part import Frame, Part
from buildsheet.space.choices.places import KINDS, values_of
from buildsheet.space.choices.standing import Standing
from buildsheet.space.choices.ways import Counts, count_ways


def dead_end(assortment: Assortment, part: Part, counts: Counts) -> tuple[Finding, ...]:
    """Every finding that stands in the way of a part without ways, at least one, each with the single
    changes that clear the way, or with changes that clear it when made at once."""
    if not part.frames:
        return _of_wheels(assortment, part)
    closing = Closing(assortment, part, counts)
    findings = closing.standing()
    detour = _way_back(assortment, part)
    if not findings:
        at = next(filter(part.says, detour.conflicts), "")
        findings = (closing.no_way(at, part.value(at) if at else None, detour),)
    return in_stable_order([with_way(each, detour) for each in findings])


def _of_wheels(assortment: Assortment, part: Part) -> tuple[Finding, ...]:
    """The wheels given are not those of the kind given."""
    kinds = tuple(
        kind
        for kind in KINDS
        if count_ways(assortment, part.without("/kind").after("/kind", kind)).total
    )
    number = assortment.edition.number
    change = (Change("/kind", kinds),) if kinds else ()
    return tuple(replace(each, edition=number, try_=change) for each in part.wheels)


def _way_back(assortment: Assortment, part: Part) -> Detour:
    """The way back: another value at one place, else other members of one wheel, else whatever lets
    most of the part stand."""
    best = Detour(())
    for frame in part.frames:
        standing = Standing(assortment.shelf(frame), part)
        best = shorter(best, detour_of(Nearest(standing))) or best
    off_list = _off_list(assortment, part)
    if off_list:
        return Detour(tuple(off_list), {**best.single, **off_list})
    if best.single or best.together:
        return best
    return replace(best, together=_keeping_most(assortment, part))


def _keeping_most(assortment: Assortment, part: Part) -> dict[str, Value]:
    """Changes that clear the way when made at once: members are taken up one after another as long as
    they leave a way, and the others exchanged. Empty where nothing can be built at all."""
    given = [at for at in _places(assortment) if part.has(at) and at not in ("/kind", "/use/brake")]
    bare = part
    for at in given:
        bare = bare.without(at)
    if not count_ways(assortment, bare).total:
        return {}
    kept, off = bare, []
    for at in given:
        more = kept.after(at, part.value(at))
        if count_ways(assortment, more).total:
            kept = more
        else:
            off.append(at)
    changes: dict[str, Value] = {}
    for at in off:
        offered = count_ways(assortment, kept).places.get(at, [])
        changes[at] = next((value for value, ways in offered if ways), None)
        kept = kept.after(at, changes[at])
    return changes


def _places(assortment: Assortment) -> tuple[str, ...]:
    """Every place with a list: the bicycle and its use first, then the wheels."""
    shelf = assortment.shelf(Frame("set", "disc"))
    wheels = (at for columns in shelf.columns for at in columns.places)
    return (*shelf.asked, *wheels)


def _off_list(assortment: Assortment, part: Part) -> dict[str, tuple[Value, ...]]:
    """Places where the part says what is on no list, with the values that clear the way."""
    places = dict.fromkeys(at for each in part.frames for at in assortment.shelf(each).asked)
    found: dict[str, tuple[Value, ...]] = {}
    for at in places:
        if not part.has(at) or part.value(at) in values_of(at, assortment.edition):
            continue
        counted = count_ways(assortment, part.without(at)).places.get(at, [])
        values = tuple(value for value, ways in counted if ways)
        if values:
            found[at] = values
    return found
