"""The text of a wheel file as a `WheelFile`, or everything that is wrong with it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from buildsheet.documents.form import TYPES, without_echoes
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Change, Finding, in_stable_order, pointer
from buildsheet.plan.wheel_file.codes import found
from buildsheet.plan.wheel_file.document import WheelFile
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import SIDES

MOST_CHARACTERS: Final = 64 * 1024
_SHARES: Final = 1e-6
"""By how much the shares of a spoke may miss 1: what six printed digits lose."""

_UNION_TAGS: Final = frozenset({"Flange", "StraightPull"})


class _Twice(ValueError):
    """An object names a member twice."""


def read(text: str) -> tuple[WheelFile | None, list[Finding]]:
    """The wheel file in ``text``, or None with every fault of form and every reason why no spokes join
    this hub and this rim. Never raises for what the text holds."""
    loaded, fault = _loaded(text)
    if fault is not None:
        return None, [fault]
    try:
        file = WheelFile.model_validate_json(json.dumps(loaded))
    except ValidationError as error:
        told = without_echoes(error.errors(include_url=False))
        faults = [_of_form(each, loaded) for each in told]
        unique = {(each.code, each.at): each for each in faults}
        return None, list(in_stable_order([*unique.values()]))
    faults = [*_inconsistent(file)]
    if not faults:
        faults = [*_impossible(file)]
    return (None, list(in_stable_order(faults))) if faults else (file, [])


def _loaded(text: str) -> tuple[Any, Finding | None]:
    if len(text) > MOST_CHARACTERS:
        says = f"The file has {len(text)} characters; a wheel has at most {MOST_CHARACTERS}."
        return None, found("data.too-large", "block", "", says)
    try:
        return json.loads(text, object_pairs_hook=_object, parse_constant=_no_number), None
    except _Twice as error:
        says = f"Member {str(error)[:40]!r} stands twice in one object; which one counts?"
        return None, found("data.duplicate-member", "block", "", says)
    except json.JSONDecodeError as error:
        says = f"The text is no JSON: {error.msg} in line {error.lineno}, column {error.colno}."
        return None, found("data.not-json", "block", "", says)
    except RecursionError:
        return None, found("data.not-json", "block", "", "The text nests too deep for a wheel.")
    except ValueError as error:
        return None, found("data.not-json", "block", "", f"The text is no JSON: {error}.")


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    plain = dict(pairs)
    if len(plain) < len(pairs):
        seen: set[str] = set()
        raise _Twice(next(name for name, _ in pairs if name in seen or seen.add(name)))  # type: ignore[func-returns-value]
    return plain


def _no_number(text: str) -> object:
    raise ValueError(f"{text} is not a JSON number")


def _of_form(error: ErrorDetails, loaded: object) -> Finding:
    at = _place(error["loc"], loaded)
    name, kind = at.rsplit("/", 1)[-1] or "the file", error["type"]
    context = error.get("ctx", {})
    if kind == "extra_forbidden":
        says = f"The wheel file has no member {name[:40]!r} here. A slip in its name?"
        return found("data.unknown-member", "block", at, says)
    if kind == "missing":
        return found("data.missing-member", "block", at, f"Member {name} is missing.")
    bounds = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}
    limits = {words: context[key] for key, words in bounds.items() if key in context}
    if limits:
        wanted = " and ".join(f"{words} {limit:g}" for words, limit in limits.items())
        says = f"{_shown(error['input'])} is out of range: {wanted} is wanted."
        need = {words.replace(" ", "_"): limit for words, limit in limits.items()}
        return found("data.out-of-range", "block", at, says, need=need)
    if kind.startswith("string_"):
        says = f"{_shown(error['input'])}: 1 to 80 readable characters are wanted."
        code = "data.text" if kind != "string_type" else "data.wrong-type"
        return found(code, "block", at, says)
    if kind in TYPES:
        says = f"{_shown(error['input'])} has the wrong type here: {TYPES[kind]} is wanted."
        return found("data.wrong-type", "block", at, says, need={"type": TYPES[kind]})
    lengths = {"min_length": "at least", "max_length": "at most"}
    limits = {words: context[key] for key, words in lengths.items() if key in context}
    if limits:
        wanted = " and ".join(f"{words} {limit}" for words, limit in limits.items())
        are = "is" if 1 in limits.values() else "are"
        says = f"The list has {len(error['input'])} entries: {wanted} {are} wanted."
        need = {words.replace(" ", "_"): limit for words, limit in limits.items()}
        return found("data.wrong-type", "block", at, says, need=need)
    says = f"{_shown(error['input'])} has the wrong type or length here: {error['msg']}."
    return found("data.wrong-type", "block", at, says)


def _place(loc: tuple[int | str, ...], loaded: object) -> str:
    """A pointer into the text: the form's names for kinds of hub side are not members of it."""
    members: list[int | str] = []
    inner: Any = loaded
    for each in loc:
        if each in _UNION_TAGS and not (isinstance(inner, dict) and each in inner):
            continue
        members.append(each)
        try:
            inner = inner[each]
        except (KeyError, IndexError, TypeError):
            inner = None
    return pointer(*members)


def _shown(value: object) -> str:
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else "a list"
    text = json.dumps(value)
    return text if len(text) <= 40 else text[:37] + "..."


def _inconsistent(file: WheelFile) -> Iterator[Finding]:
    for side in SIDES:
        total = sum(each.share for each in getattr(file.spokes, side).sections)
        if abs(total - 1.0) > _SHARES:
            at = pointer("spokes", side, "sections")
            says = f"The shares of the {side} spokes add to {total:g}, not to 1."
            yield found("data.shares", "block", at, says, have={"sum": total}, need={"sum": 1})
    for place, load in enumerate(file.loads):
        if load.at_hole > file.rim.holes:
            says = f"Load {load.name!r} acts at hole {load.at_hole} of a rim with {file.rim.holes}."
            yield found("data.hole", "block", pointer("loads", place, "at_hole"), says)
    if file.tyre and file.tyre.squeeze_n_per_mm is not None and file.tyre.hoop_n is not None:
        yield found("data.tyre", "block", "/tyre", "Give the squeeze or the hoop force, not both.")


def _impossible(file: WheelFile) -> Iterator[Finding]:
    try:
        solve(file.spec())
    except CannotLace as refusal:
        says = f"{str(refusal)[:1].upper()}{str(refusal)[1:]}."
        have, need = _values(refusal.have), _values(refusal.need)
        refused = found(
            "lacing.cannot-lace", "block", _refused_at(refusal), says, have=have, need=need
        )
        yield replace(refused, try_=_way_out(refused))
    except CannotCompute as refusal:
        says = f"{str(refusal)[:1].upper()}{str(refusal)[1:]}."
        yield found("data.cannot-compute", "block", "", says)


def _refused_at(refusal: CannotLace) -> str:
    side = refusal.have.get("side")
    if refusal.slug in {"count", "split", "pairs-in-threes", "pairs-collide"}:
        return "/rim/pair_shift_deg" if refusal.slug.startswith("pairs") else "/spokes"
    if side in SIDES:
        member = "hub" if refusal.slug == "sizes" else "spokes"
        return pointer(member, str(side)) + ("/crossings" if member == "spokes" else "")
    return "/spokes"


def _way_out(refused: Finding) -> tuple[Change, ...]:
    """The crossing count that fits, where one number clears the refusal."""
    fits = refused.need.get("most_crossings", refused.need.get("crossings"))
    if refused.at.endswith("/crossings") and isinstance(fits, int):
        return (Change(refused.at, (fits,)),)
    return ()


def _values(given: dict[str, object]) -> dict[str, Any]:
    """The same through JSON, so that whatever a refusal holds can be written out."""
    return dict(json.loads(json.dumps(given, default=str)))
