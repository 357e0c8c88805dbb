"""Members as the model of their kind, or a finding for every fault of form."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Generic, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from buildsheet.documents.kind import Kind
from buildsheet.documents.text import Parsed, is_told, parse, sift
from buildsheet.findings import Finding, Value, in_stable_order, pointer

M = TypeVar("M", bound=BaseModel)

_BOUNDS: Final = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}
_LENGTHS: Final = {"min_length": "at least", "max_length": "at most"}
TYPES: Final = {
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "string_type": "text",
    "bool_type": "true or false",
    "model_type": "an object",
    "model_attributes_type": "an object",
    "dict_type": "an object",
    "list_type": "a list",
    "tuple_type": "a list",
}
"""What is wanted where a value is of another type, by the model's name for the fault."""


@dataclass(frozen=True, slots=True)
class Read(Generic[M]):
    """``document`` is there only where nothing is at fault."""

    document: M | None
    findings: tuple[Finding, ...]


def read(raw: bytes, model: type[M], kind: Kind) -> Read[M]:
    """Posted bytes as the model, or every fault in a stable order. Never raises for what they hold."""
    return read_parsed(parse(raw, kind), model, kind)


def read_members(members: Mapping[str, Any], model: type[M], kind: Kind) -> Read[M]:
    """The same for members that came by another way: a page's form, a file of a test."""
    return read_parsed(sift(members, kind), model, kind)


def read_parsed(parsed: Parsed, model: type[M], kind: Kind) -> Read[M]:
    """The same for a text that is parsed already; its faults come along."""
    faults = dict(parsed.faults)
    document: M | None = None
    if parsed.document is not None:
        # As JSON once more, so that lists become the tuples that frozen models hold.
        try:
            document = model.model_validate_json(json.dumps(parsed.document))
        except ValidationError as error:
            for each in without_echoes(error.errors(include_url=False)):
                at = pointer(*each["loc"])
                if not is_told(at, parsed.faults):
                    faults.setdefault(at, _fault(each, at, kind))
    if faults:
        document = None
    return Read(document, in_stable_order([*faults.values()]))


def without_echoes(errors: list[ErrorDetails]) -> list[ErrorDetails]:
    """A list is not called short for the entries that are at fault themselves."""
    around = {each["loc"][:depth] for each in errors for depth in range(len(each["loc"]))}
    return [each for each in errors if each["type"] != "too_short" or each["loc"] not in around]


def _fault(error: ErrorDetails, at: str, kind: Kind) -> Finding:
    name, type_ = at.rsplit("/", 1)[-1] or "the document", error["type"]
    context = error.get("ctx", {})
    given = _shown(error["input"])
    if type_ == "missing":
        return kind.fault("missing-member", at, f"Member {name} is missing; state it.")
    if type_ == "extra_forbidden":
        called = kind.called.capitalize()
        says = f"{called} has no member {_shown(name)} here. Leave it out, or look for a slip."
        return kind.fault("unknown-member", at, says)
    if type_ == "literal_error":
        words: list[Value] = [
            each.strip(" '") for each in re.split(r",| or ", str(context.get("expected", "")))
        ]
        says = f"{given} is none of the words here: {', '.join(str(word) for word in words)}."
        return kind.fault("not-a-choice", at, says, need={"one_of": words})
    limits = {words: context[key] for key, words in _BOUNDS.items() if key in context}
    if limits:
        wanted = " and ".join(f"{words} {limit:g}" for words, limit in limits.items())
        need: dict[str, Value] = {words.replace(" ", "_"): limit for words, limit in limits.items()}
        says = f"{given} is out of range: {wanted}. A slip of the unit or the comma?"
        return kind.fault("out-of-range", at, says, need=need)
    if type_ in TYPES:
        says = f"{given} has the wrong type here: {TYPES[type_]} is wanted."
        return kind.fault("wrong-type", at, says, need={"type": TYPES[type_]})
    lengths = {words: context[key] for key, words in _LENGTHS.items() if key in context}
    if lengths:
        one, many = (
            ("character", "characters") if type_.startswith("string_") else ("entry", "entries")
        )
        wanted = " and ".join(
            f"{words} {limit} {one if limit == 1 else many}" for words, limit in lengths.items()
        )
        need = {words.replace(" ", "_"): limit for words, limit in lengths.items()}
        of = given if many == "characters" else "The list"
        return kind.fault("text", at, f"{of} has another length: {wanted}.", need=need)
    if type_ == "string_pattern_mismatch":
        return kind.fault("text", at, f"{given} does not have the form that {name} has.")
    return kind.fault("wrong-type", at, f"{given}: {error['msg']}.")


def _shown(value: object) -> str:
    """A value from outside, short enough for a message and safe in any of them."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list | tuple):
        return "a list"
    text = json.dumps(value) if value is None or isinstance(value, bool) else repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
