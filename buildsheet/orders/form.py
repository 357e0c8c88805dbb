"""What the document's model refused, as findings: one for each fault, with the value and what is wanted."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Final

from pydantic_core import ErrorDetails

from buildsheet.findings import Finding, Value, pointer
from buildsheet.orders.codes import found
from buildsheet.orders.posted import MASSES

MASS_PLACES: Final = tuple(f"/use/{name}" for name in MASSES)

PRICE_WORD: Final = re.compile(
    r"(^|_)(price|prices|cost|costs|amount|currency|vat|tax|discount|total|subtotal|msrp|rrp|eur|usd)(_|$)",
    re.IGNORECASE,
)
"""What a member about money is called, as one word of its name."""


def fault_of_form(error: ErrorDetails) -> Finding:
    """The finding for one error of the model."""
    at = pointer(*error["loc"])
    return _BY_TYPE.get(error["type"], _other)(error, at)


def _missing(_: ErrorDetails, at: str) -> Finding:
    if at in MASS_PLACES:
        return mass_missing([at])
    name = at.rsplit("/", 1)[1]
    return found(
        "order.missing-member", "block", at, f"Member {name} is missing; state it.", edition=None
    )


def _extra(error: ErrorDetails, at: str) -> Finding:
    name = str(error["loc"][-1])
    shown = name if len(name) <= 32 else name[:29] + "..."
    if PRICE_WORD.search(name):
        says = f"{shown} speaks of money. Leave it out: an order says what to build, not what it costs."
        return found("order.price-member", "block", at, says, edition=None)
    says = f"The order form has no member {shown!r} here. Leave it out, or look for a slip in its name."
    return found("order.unknown-member", "block", at, says, edition=None)


def _choice(error: ErrorDetails, at: str) -> Finding:
    expected = str(error.get("ctx", {}).get("expected", ""))
    words: list[Value] = [each.strip(" '") for each in re.split(r",| or ", expected)]
    given = _shown(error["input"])
    says = f"{given} is none of the words here: {', '.join(str(word) for word in words)}."
    return found(
        "order.not-a-choice",
        "block",
        at,
        says,
        have={"value": _kept(error["input"])},
        need={"one_of": words},
        edition=None,
    )


def _range(error: ErrorDetails, at: str) -> Finding:
    context = error.get("ctx", {})
    bounds = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}
    need: dict[str, Value] = {}
    words = []
    for key, phrase in bounds.items():
        if key in context:
            need[phrase.replace(" ", "_")] = context[key]
            words.append(f"{phrase} {context[key]:g}")
    given = _shown(error["input"])
    says = f"{given} is out of range: {' and '.join(words)}. A slip of the unit or the comma?"
    return found(
        "order.out-of-range",
        "block",
        at,
        says,
        have={"value": _kept(error["input"])},
        need=need,
        edition=None,
    )


def _text(error: ErrorDetails, at: str) -> Finding:
    context = error.get("ctx", {})
    if "max_length" in context:
        wanted = f"at most {context['max_length']} characters"
    elif "min_length" in context:
        wanted = f"at least {context['min_length']} characters"
    else:
        wanted = FORMS.get(str(context.get("pattern")), "another form")
    given = _shown(error["input"])
    says = f"{given} does not have the form wanted here: {wanted}."
    return found(
        "order.text",
        "block",
        at,
        says,
        have={"value": _kept(error["input"])},
        need={"form": wanted},
        edition=None,
    )


def _day(error: ErrorDetails, at: str) -> Finding:
    given = _shown(error["input"])
    says = f"{given} is no day of the calendar. Write year-month-day, such as 2031-05-20."
    return found(
        "order.date", "block", at, says, have={"value": _kept(error["input"])}, edition=None
    )


def _type(error: ErrorDetails, at: str) -> Finding:
    wanted = _TYPES.get(error["type"], "another type")
    given = _shown(error["input"])
    says = f"{given} has the wrong type here: {wanted} is wanted."
    return found(
        "order.wrong-type",
        "block",
        at,
        says,
        have={"value": _kept(error["input"])},
        need={"type": wanted},
        edition=None,
    )


def _other(error: ErrorDetails, at: str) -> Finding:
    return found("order.wrong-type", "block", at, f"{error['msg']}.", edition=None)


_TYPES: Final = {
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "string_type": "text",
    "bool_type": "true or false",
    "model_type": "an object",
    "model_attributes_type": "an object",
    "dict_type": "an object",
}

FORMS: Final = {
    r"^[A-Z]{2}$": "two capital letters of the country",
    r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$": "year-month-day",
    r"^[A-Z0-9][A-Z0-9.-]{0,23}$": "a part's code in capitals and digits",
    r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$": (
        "1 to 40 letters A to Z or a to z, digits, dots, dashes, underscores; a letter or digit first"
    ),
    r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,19}$": "diameter and width of the axle, written like 12x100",
    r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,59}$": (
        "a spline's name in up to 60 letters A to Z or a to z, digits, dots, dashes, spaces"
    ),
    r"^[A-Za-z0-9][A-Za-z0-9 -]{0,23}$": "a colour in up to 24 letters a to z, digits, dashes, spaces",
}
"""Pattern of the order's form -> what to write."""

_BY_TYPE: Final[Mapping[str, Callable[[ErrorDetails, str], Finding]]] = {
    "missing": _missing,
    "extra_forbidden": _extra,
    "literal_error": _choice,
    "greater_than_equal": _range,
    "greater_than": _range,
    "less_than_equal": _range,
    "less_than": _range,
    "string_pattern_mismatch": _text,
    "string_too_long": _text,
    "string_too_short": _text,
    "date": _day,
    **dict.fromkeys(_TYPES, _type),
}


def _shown(value: object) -> str:
    """A value from outside, short enough for a message and safe in any of them."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return "a list"
    text = json.dumps(value) if value is None or isinstance(value, bool) else repr(value)
    return text if len(text) <= 40 else text[:37] + "..."


def _kept(value: object) -> Value:
    """The same for a program: a short scalar as it is, anything else as words."""
    if isinstance(value, str) and len(value) <= 40:
        return value
    return value if value is None or isinstance(value, int | float) else _shown(value)


def mass_missing(places: Sequence[str]) -> Finding:
    """The one finding for all masses that are missing."""
    names: list[Value] = [place.rsplit("/", 1)[1] for place in places]
    return found(
        "load.mass-missing",
        "block",
        places[0],
        "State the mass of rider, bicycle and luggage: the order lacks "
        + " and ".join(str(name) for name in names)
        + ".",
        have={"missing": names},
        need={"kg": [*MASSES]},
        also=tuple(places[1:]),
        edition=None,
    )
