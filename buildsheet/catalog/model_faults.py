"""A table checked against its model: the model, or every fault with what is allowed and what to try."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from buildsheet.catalog.allowed import (
    Schema,
    allowed_at,
    as_need,
    in_words,
    key_pattern,
    keys_of,
    slip,
)
from buildsheet.catalog.faults import Place, fault, nearest, said, shown
from buildsheet.catalog.parts import Part
from buildsheet.findings import Change, Finding

M = TypeVar("M", bound=BaseModel)
Keys = tuple[str | int, ...]

CODE_BY_ERROR: Final[Mapping[str, str]] = MappingProxyType(
    {
        "missing": "data.missing-key",
        "extra_forbidden": "data.unknown-key",
        "literal_error": "data.unknown-word",
        "greater_than": "data.out-of-range",
        "greater_than_equal": "data.out-of-range",
        "less_than": "data.out-of-range",
        "less_than_equal": "data.out-of-range",
        "finite_number": "data.out-of-range",
        "too_short": "data.wrong-count",
        "too_long": "data.wrong-count",
        "string_pattern_mismatch": "data.wrong-form",
        "string_too_short": "data.wrong-form",
        "string_too_long": "data.wrong-form",
    }
)
"""The model's error type -> the code; every other type is a wrong type."""

MOST_FAULTS: Final = 100
"""Of one table. A part has some thirty keys."""

KEY_OF_A_TABLE: Final = "[key]"
"""How pydantic marks that a key, not its value, is wrong."""


def checked(
    model: type[M], table: Mapping[str, Any], place: Place
) -> tuple[M | None, list[Finding]]:
    """The table as its model, or None and every fault in it; ``place`` is where the table stands.

    A table with more faults than anybody mends one by one is told by the first of them.
    """
    try:
        return model.model_validate(table), []
    except ValidationError as error:
        details = [*_own(error.errors(include_url=False, include_context=False))]
    faults = [_fault(model, place, each) for each in details[:MOST_FAULTS]]
    if len(details) > MOST_FAULTS:
        says = f"{len(details)} faults in one table; the first {MOST_FAULTS} are told."
        faults.append(fault("data.wrong-count", place, says, have={"found": len(details)}))
    return None, faults


def _own(details: list[ErrorDetails]) -> Iterator[ErrorDetails]:
    """Without the complaints that only repeat another one: a list whose only row is bad is not short."""
    above = {each["loc"][:depth] for each in details for depth in range(len(each["loc"]))}
    for each in details:
        if each["loc"] not in above:
            yield each


def _fault(model: type[BaseModel], place: Place, error: ErrorDetails) -> Finding:
    code = CODE_BY_ERROR.get(error["type"], "data.wrong-type")
    keys = error["loc"]
    if keys == ("code",) and code != "data.unknown-key":
        return _bad_code(place)
    if keys[-1] == KEY_OF_A_TABLE:
        return _bad_key(model, place, keys[:-1])
    if code == "data.unknown-key":
        return _unknown_key(model, place, keys)
    if code == "data.missing-key":
        return _missing(model, place, keys)
    return _bad_value(model, place, keys, code, error["input"])


def _missing(model: type[BaseModel], place: Place, keys: Keys) -> Finding:
    """A key that is not there; or, where the last key is a row, a list that ends too soon."""
    is_row = isinstance(keys[-1], int)
    keys = keys[:-1] if is_row else keys
    code, what = ("data.wrong-count", "too short") if is_row else ("data.missing-key", "missing")
    node = allowed_at(model, keys)
    says = f"{what}; allowed is {in_words(node, model)}."
    return fault(code, place.under(*keys), says, need=as_need(node))


def _bad_value(
    model: type[BaseModel], place: Place, keys: Keys, code: str, found: object
) -> Finding:
    here, node = place.under(*keys), allowed_at(model, keys)
    if code == "data.unknown-word" and not isinstance(found, str):
        code = "data.wrong-type"
    hint, change = _meant(keys, found, node, here)
    says = f"found {said(found)}; allowed is {in_words(node, model)}.{hint}"
    have = {"found": shown(found)}
    return fault(code, here, says, have=have, need=as_need(node), try_=change)


def _meant(keys: Keys, found: object, node: Schema, here: Place) -> tuple[str, tuple[Change, ...]]:
    """What may have been meant, as the end of a sentence and as a change; nothing where nothing fits."""
    if "enum" in node or "const" in node:
        words = node.get("enum") or [node["const"]]
        meant = nearest(found, [each for each in words if isinstance(each, str)])
        return (f' Try "{meant}".', (Change(here.at, (meant,)),)) if meant else ("", ())
    if node.get("type") not in ("number", "integer") or isinstance(found, bool):
        return "", ()
    if isinstance(found, str):
        number = _as_number(found)
        if number is None:
            return "", ()
        return f" Try {number:g}, without quotes.", (Change(here.at, (number,)),)
    if not isinstance(found, (int, float)):
        return "", ()
    key = next((each for each in reversed(keys) if isinstance(each, str)), "")
    guess = slip(key, _as_float(found), node)
    if guess is None:
        return "", ()
    return f" {guess[1].capitalize()} Try {guess[0]:g}.", (Change(here.at, (guess[0],)),)


def _as_number(text: str) -> float | None:
    """A number that somebody put in quotes, with a decimal point or comma."""
    try:
        number = float(text.strip().replace(",", ".", 1))
    except ValueError:
        return None
    return number if abs(number) < 1e15 else None


def _as_float(number: float) -> float:
    try:
        return float(number)
    except OverflowError:
        return float("inf")


def _unknown_key(model: type[BaseModel], place: Place, keys: Keys) -> Finding:
    here = place.under(*keys)
    known = keys_of(allowed_at(model, keys[:-1]))
    meant = nearest(keys[-1], known)
    hint = f" Try {meant}." if meant else f" Known are {', '.join(known)}."
    return fault(
        "data.unknown-key",
        here,
        f"no such key.{hint}",
        have={"found": shown(keys[-1])},
        need={"enum": [meant] if meant else list(known)},
    )


def _bad_code(place: Place) -> Finding:
    name = str(place.keys[-1])
    node = allowed_at(Part, ("code",))
    hint = _capitals(name, node["pattern"])
    says = f"the table's name is the part's code: {in_words(node, Part)}.{hint}"
    return fault("data.wrong-form", place, says, have={"found": shown(name)})


def _bad_key(model: type[BaseModel], place: Place, keys: Keys) -> Finding:
    here, name = place.under(*keys), str(keys[-1])
    table = allowed_at(model, keys[:-1])
    pattern = key_pattern(table)
    if pattern is None:
        node = table.get("propertyNames", {})
        words, need = in_words(node, model), as_need(node)
    else:
        words, need = f"a key of the form {pattern}", {"pattern": pattern}
    says = f"no such key; allowed is {words}.{_capitals(name, pattern)}"
    return fault("data.unknown-key", here, says, have={"found": shown(name)}, need=need)


def _capitals(name: str, pattern: str | None) -> str:
    """The end of a sentence: the same in capitals, where that would do."""
    capitals = name.upper()
    fits = pattern and capitals != name and re.fullmatch(pattern, capitals)
    return f" Try {capitals}." if fits else ""
