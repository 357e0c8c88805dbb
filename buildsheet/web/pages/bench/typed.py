"""From what a form sent to the document that the bench reads; and from a document back to a form.

An empty box is no value. A number is read with a decimal point or a decimal comma. What is no number
stays text: the bench's own strict reading then says so, with its place.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from werkzeug.datastructures import MultiDict

from buildsheet.web.pages.bench.field import Field, Values
from buildsheet.web.pages.bench.reading_form import THREADS

_NUMBER: Final = re.compile(r"[+-]?[0-9]{1,9}([.,][0-9]{1,9})?")
_WHOLE: Final = re.compile(r"[+-]?[0-9]{1,9}")
_MEASURED: Final = {
    "tension": ("typed",),
    "lateral": ("typed_mm", "by_hole_mm"),
    "radial": ("typed_mm", "by_hole_mm"),
    "dish": ("typed_mm",),
}
"""A group of a pass without any of these says nothing, and is left out."""

Sent = MultiDict[str, str]


def step_document(station: str, fields: Sequence[Field], sent: Sent) -> dict[str, Any]:
    """The document of one step."""
    return {"station": station, **_frame(sent), **members(fields, sent)}


def pass_document(fields: Sequence[Field], sent: Sent, holes: int) -> dict[str, Any]:
    """The document of one pass; run-out read at each hole counts before a figure of the turn."""
    document = {**_frame(sent), **members(fields, sent)}
    threads = document.pop("threads", None)
    if threads is not None:
        document["threads"] = _threads(threads)
    for group, measured in _MEASURED.items():
        said = document.get(group)
        if said is None:
            continue
        for name in ("typed", "by_hole_mm"):
            if name in said:
                said[name] = [said[name].get(str(hole)) for hole in range(holes)]
        if not any(name in said for name in measured):
            del document[group]
        elif "by_hole_mm" in said:
            # A reading at each hole is what the dial showed: neither full nor plus/minus is asked.
            said.setdefault("given_as", "full")
    return document


def _threads(counted: Mapping[str, Any]) -> Any:
    if any(not isinstance(each, int) or not 0 <= each <= 72 for each in counted.values()):
        return [*counted.values()]
    return [word for word in THREADS for _ in range(counted.get(word, 0))]


def _frame(sent: Sent) -> dict[str, Any]:
    return {name: sent.get(name, "").strip() for name in ("key", "issue")}


def members(fields: Sequence[Field], sent: Sent) -> dict[str, Any]:
    """The members that these fields say; an empty field is left out."""
    found: dict[str, Any] = {}
    for field in fields:
        value = None if field.kind == "told" else _value(field, sent)
        if value is None:
            continue
        *above, last = field.name.split(".")
        group = found
        for name in above:
            group = group.setdefault(name, {})
        group[last] = value
    if "other" in found:
        others = [each for each in re.split(r"[,;\s]+", found.pop("other")) if each]
        found["scanned"] = [
            *found.get("scanned", ()),
            *({"part": each, "count": 1} for each in others),
        ]
    return found


def _value(field: Field, sent: Sent) -> Any:
    if field.kind == "rows":
        return [row for place in range(len(field.rows)) if (row := _row(field, place, sent))]
    if field.kind == "ticks":
        return sent.getlist(field.name)
    if field.kind in ("numbers", "lines"):
        texts = [sent.get(f"{field.name}.{place}", "").strip() for place in range(field.many)]
        return [number(each) if field.kind == "numbers" else each for each in texts if each] or None
    text = sent.get(field.name, "").strip()
    if not text:
        return None
    if field.kind == "yes-no":
        return {"yes": True, "no": False}.get(text, text)
    if field.kind == "number":
        return number(text)
    if field.kind == "whole":
        return int(text) if _WHOLE.fullmatch(text) else text
    return text


def _row(field: Field, place: int, sent: Sent) -> dict[str, Any]:
    count = sent.get(f"{field.name}.{place}.count", "").strip()
    batch = sent.get(f"{field.name}.{place}.batch", "").strip()
    if not count or count == "0":
        return {}
    row = {
        "part": field.rows[place].part,
        "count": int(count) if _WHOLE.fullmatch(count) else count,
    }
    return {**row, "batch": batch} if batch else row


def number(text: str) -> float | str:
    """The number, or the text where it is none.

    >>> number("573,6"), number("+0.2"), number("1.000,5")
    (573.6, 0.2, '1.000,5')
    """
    return float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else text


def as_sent(sent: Sent) -> Values:
    """What was sent, to stand in the form again."""
    return {name: tuple(values) for name, values in sent.lists()}


def from_document(text: str, fields: Iterable[Field]) -> Values:
    """A document that was kept, as the same form would show it; its key is not taken over."""
    document = json.loads(text)
    values = _flat(document, "")
    for field in fields:
        if field.kind == "ticks":
            values[field.name] = tuple(document.get(field.name, ()))
        if field.kind == "rows":
            scanned = {each["part"]: each for each in document.get(field.name, ())}
            for place, row in enumerate(field.rows):
                for member in ("count", "batch"):
                    said = scanned.get(row.part, {}).get(member)
                    values[f"{field.name}.{place}.{member}"] = ("" if said is None else str(said),)
    values.pop("key", None)
    if "threads" in document:
        for word in THREADS:
            values[f"threads.{word}"] = (str(document["threads"].count(word)),)
    return values


def _flat(value: Any, name: str) -> dict[str, tuple[str, ...]]:
    parts: Iterable[tuple[str, Any]]
    if isinstance(value, dict):
        parts = value.items()
    elif isinstance(value, list):
        parts = ((str(place), each) for place, each in enumerate(value))
    else:
        return {name: (_text(value),)}
    found: dict[str, tuple[str, ...]] = {}
    for part, each in parts:
        found.update(_flat(each, f"{name}.{part}" if name else str(part)))
    return found


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    return "" if value is None else str(value)
