"""A new part from one that is there: everything copied but what was proved for the old one alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final, NamedTuple

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.evidence import LIMITS, MEASURED, kind_of, measurements_of
from buildsheet.catalog.parts import DrillingProgram, Hub, Nipple, Part, Rim

Keys = tuple[str, ...]

LONGEST_NAME: Final = 60


class Cloned(NamedTuple):
    """The new part's keys as a catalog file holds them (without the code), and the places, dotted,
    whose proof was left behind: ``evidence.spoke_limit_n``, ``seat_measured_mm``."""

    values: dict[str, Any]
    left_behind: tuple[str, ...]


def clone(part: Part, new_code: str, new_name: str | None = None) -> Cloned:
    """A copy in state ``draft``, with neither evidence nor measurements: they belong to the article
    that was tested. What has to be proved anew is listed. The code is judged when the part is read.
    """
    values = as_values(part)
    values.pop("evidence", None)
    for keys in MEASURED.get(kind_of(part), ()):
        _drop(values, measurements_of(keys))
    values["name"] = new_name or f"{part.name[: LONGEST_NAME - len(new_code) - 1]} {new_code}"
    ordered = {"name": values.pop("name"), "state": "draft"}
    values.pop("state", None)
    return Cloned({**ordered, **values}, tuple(".".join(keys) for keys in _to_prove(part)))


def as_values(part: Part) -> dict[str, Any]:
    """A part's keys as a catalog file holds them: lists for tuples, without code and unknowns."""
    dumped = part.model_dump(exclude={"code"}, exclude_none=True)
    return {key: _plain(value) for key, value in dumped.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(each) for each in value]
    return value


def _drop(values: dict[str, Any], keys: Keys) -> None:
    inner: Any = values
    for key in keys[:-1]:
        inner = inner.get(key, {})
    inner.pop(keys[-1], None)


def _to_prove(part: Part) -> Iterator[Keys]:
    """Where the copy will need proof of its own: each limit it states, each figure to be measured."""
    kind = kind_of(part)
    for key in LIMITS.get(kind, ()):
        if getattr(part, key) not in (None, False):
            yield ("evidence", key)
    for keys in MEASURED.get(kind, ()):
        side = part if len(keys) == 1 else getattr(part, keys[0])
        if side is not None:
            yield measurements_of(keys)


class Differing(NamedTuple):
    """One key, dotted, of a copy that is no longer as the original has it; None: not stated."""

    key: str
    original: Any
    copy: Any


def differing(part: Part, values: Mapping[str, Any]) -> tuple[Differing, ...]:
    """Every key in which a copy, as typed so far, differs from its original; tables key by key."""
    return tuple(_differing(as_values(part), values, ()))


def _differing(
    original: Mapping[str, Any], copy: Mapping[str, Any], keys: Keys
) -> Iterator[Differing]:
    for key in dict.fromkeys((*original, *copy)):
        old, new = original.get(key), copy.get(key)
        if isinstance(old, Mapping) or isinstance(new, Mapping):
            old_table = old if isinstance(old, Mapping) else {}
            new_table = new if isinstance(new, Mapping) else {}
            yield from _differing(old_table, new_table, (*keys, key))
        elif old != new:
            yield Differing(".".join((*keys, key)), old, new)


def named_beside(part: Part, edition: Edition) -> tuple[str, ...]:
    """The codes of other parts that name this one: a copy of it may have to be named there too."""
    return tuple(_naming(part, edition))


def _naming(part: Part, edition: Edition) -> Iterator[str]:
    if isinstance(part, Hub):
        yield from (caps.code for caps in edition.end_caps.values() if part.code in caps.hubs)
    elif isinstance(part, Rim):
        yield from _naming_rim(part.code, edition.programs, edition.nipples)


def _naming_rim(
    code: str, programs: Mapping[str, DrillingProgram], nipples: Mapping[str, Nipple]
) -> Iterator[str]:
    yield from (each.code for each in programs.values() if each.rim == code)
    yield from (each.code for each in nipples.values() if code in each.excluded_rims)
