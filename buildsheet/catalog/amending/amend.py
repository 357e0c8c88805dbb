"""A list of edits made in the texts of a catalog: all of them, or none and what is in the way."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from math import isfinite
from typing import Any, Final

from buildsheet.catalog.amending.edits import (
    DropPart,
    DropRule,
    Edit,
    PutHouse,
    PutPart,
    PutRule,
    misfit,
)
from buildsheet.catalog.amending.tables import (
    Unreadable,
    rules_in,
    tables_in,
    with_rule,
    with_table,
    with_tables,
    with_value,
    without_rule,
    without_table,
)
from buildsheet.catalog.clone import clone
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import Place, listed, nearest, plain
from buildsheet.catalog.links import file_of
from buildsheet.catalog.model_faults import checked
from buildsheet.findings import Finding, Value

HOUSE: Final = "house.toml"
RULES: Final = "rules/"
_NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,59}")
_SUBJECT: Final = re.compile(r"[a-z][a-z_-]{0,39}")

Texts = Mapping[str, str]


class _Misfit(Exception):
    """An edit that cannot be made, and where in it the reason stands."""

    def __init__(self, says: str, *keys: str, code: str = "data.edit-nowhere") -> None:
        super().__init__(says)
        self.says, self.keys, self.code = says, keys, code


def amended(texts: Texts, edits: Sequence[Edit]) -> tuple[dict[str, str], tuple[Finding, ...]]:
    """The texts after all edits, in their order; or the texts as they were, and a finding for every
    edit that names something that is not there. Whether the outcome is sound is not asked."""
    done, faults = dict(texts), []
    for place, run in _runs(edits):
        unwritable = [
            misfit((place + later,), says)
            for later, edit in enumerate(run)
            for holds, says in _UNWRITABLE
            if holds(_value(edit))
        ]
        if unwritable:
            faults += unwritable
            continue
        try:
            name, text = _made(done, run[0]) if len(run) == 1 else _put_parts(done, run)
        except _Misfit as trouble:
            faults.append(misfit((place, *trouble.keys), trouble.says, trouble.code))
        except Unreadable as trouble:
            says = f"the file that it changes is no TOML: {plain(str(trouble))}."
            faults.append(misfit((place,), says, "data.edit-nowhere"))
        else:
            if _is_text(text):
                done[name] = text
            else:
                says = "it holds half a character, which UTF-8 cannot write."
                faults.append(misfit((place,), says))
    return (dict(texts), tuple(faults)) if faults else (done, ())


def _value(edit: Edit) -> Value:
    """What an edit puts in; None for one that takes something out."""
    if isinstance(edit, PutPart | PutRule):
        return dict(edit.values)
    return edit.value if isinstance(edit, PutHouse) else None


def _null_in_a_list(value: Value) -> bool:
    """Whether a list somewhere in it has a null, which no catalog file can write."""
    if isinstance(value, list | tuple):
        return any(each is None or _null_in_a_list(each) for each in value)
    return isinstance(value, Mapping) and any(map(_null_in_a_list, value.values()))


def _endless(value: Value) -> bool:
    """Whether a number somewhere in it is none that a figure can be: endless, or no number at all."""
    if isinstance(value, list | tuple):
        return any(map(_endless, value))
    if isinstance(value, Mapping):
        return any(map(_endless, value.values()))
    return isinstance(value, float) and not isfinite(value)


_UNWRITABLE: Final = (
    (
        _null_in_a_list,
        "a list in it holds null; leave the place out, or take the whole key out with null.",
    ),
    (_endless, "a number in it is larger than any figure can be."),
)
"""What no edit may put into a file, each with what is said of it."""


def _is_text(text: str) -> bool:
    """False for half a surrogate pair, which JSON can hold and no file can."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _runs(edits: Sequence[Edit]) -> Iterator[tuple[int, list[Edit]]]:
    """The edits with the place of each; those that put whole parts of one kind after each other stand
    together, because the file is then read and written once."""
    place = 0
    for _, run in groupby(enumerate(edits), key=_alike):
        together = [edit for _, edit in run]
        yield place, together
        place += len(together)


def _alike(numbered: tuple[int, Edit]) -> str | int:
    """The kind of a whole part; for any other edit something that no other one has."""
    place, edit = numbered
    if not isinstance(edit, PutPart) or not edit.whole or edit.clone_of is not None:
        return place
    if edit.kind in KINDS and _NAME.fullmatch(edit.code):
        return str(edit.kind)
    return place


def _put_parts(texts: Texts, run: Sequence[Edit]) -> tuple[str, str]:
    """Whole parts of one kind, all known to be such."""
    puts = [edit for edit in run if isinstance(edit, PutPart)]
    name = file_of(str(puts[0].kind))
    tables = {edit.code: _merged({}, edit.values) for edit in puts}
    return name, with_tables(texts.get(name, ""), tables)


def _made(texts: Texts, edit: Edit) -> tuple[str, str]:
    """Name and new text of the one file that an edit changes."""
    if isinstance(edit, PutPart):
        return _put_part(texts, edit)
    if isinstance(edit, DropPart):
        name = file_of(_kind(texts, edit.code, edit.kind, "drop_part"))
        if edit.code not in tables_in(texts.get(name, "")):
            raise _Misfit(f"{name} has no {plain(edit.code)}.", "drop_part")
        return name, without_table(texts[name], edit.code)
    if isinstance(edit, PutRule):
        return _put_rule(texts, edit)
    if isinstance(edit, DropRule):
        file = _file_of_rule(texts, edit.id)
        if file is None:
            raise _Misfit(_no_rule(texts, edit.id), "drop_rule")
        return file, without_rule(texts[file], edit.id)
    return _put_house(texts, edit)


def _put_part(texts: Texts, edit: PutPart) -> tuple[str, str]:
    if not _NAME.fullmatch(edit.code):
        raise _Misfit(f"{plain(edit.code)} is no code.", "part", code="data.edit-form")
    original = edit.clone_of
    kind = _kind(texts, original or edit.code, edit.kind, "clone_of" if original else "part")
    name: str = file_of(kind)
    text = texts.get(name, "")
    there = tables_in(text)
    if original is not None:
        if edit.code in there:
            raise _Misfit(f"{edit.code} is there already.", "part", code="data.edit-form")
        start = _cloned(kind, original, there, edit.code)
    else:
        start = {} if edit.whole else there.get(edit.code, {})
    if edit.kind is None and original is None and edit.code not in there:
        raise _Misfit(_no_part(texts, edit.code), "part")
    return name, with_table(text, edit.code, _merged(start, edit.values))


def _cloned(kind: str, code: str, there: Mapping[str, Any], new_code: str) -> dict[str, Any]:
    if code not in there:
        raise _Misfit(f"{file_of(kind)} has no {plain(code)}.", "clone_of")
    place = Place(file_of(kind), (code,))
    part, faults = checked(KINDS[kind], {"code": code, **_fixed(there[code])}, place)
    if part is None:
        raise _Misfit(f"{code} is not sound itself: {faults[0].says}", "clone_of")
    return clone(part, new_code).values


def _fixed(value: Any) -> Any:
    """Lists as tuples, as the models have them."""
    if isinstance(value, dict):
        return {key: _fixed(each) for key, each in value.items()}
    return tuple(map(_fixed, value)) if isinstance(value, list) else value


def _put_rule(texts: Texts, edit: PutRule) -> tuple[str, str]:
    if not _NAME.fullmatch(edit.id):
        raise _Misfit(f"{plain(edit.id)} is no id of a rule.", "rule", code="data.edit-form")
    if not _SUBJECT.fullmatch(edit.subject):
        says = f"{plain(edit.subject)} names no file: small letters are wanted."
        raise _Misfit(says, "subject", code="data.edit-form")
    name = _file_of_rule(texts, edit.id) or f"{RULES}{edit.subject}.toml"
    text = texts.get(name, "")
    start = {} if edit.whole else rules_in(text).get(edit.id, {})
    values = {key: each for key, each in _merged(start, edit.values).items() if key != "id"}
    return name, with_rule(text, edit.id, values)


def _put_house(texts: Texts, edit: PutHouse) -> tuple[str, str]:
    try:
        return HOUSE, with_value(texts.get(HOUSE, ""), edit.key, edit.value)
    except KeyError as missing:
        says = f"{HOUSE} has no table {plain(str(missing.args[0]))}."
        raise _Misfit(says, "house") from missing


def _merged(start: Mapping[str, Value], changes: Mapping[str, Value]) -> dict[str, Value]:
    """The values with the changes in them; a dotted key reaches into a table, None takes a key out."""
    merged = dict(start)
    for key, value in changes.items():
        head, _, rest = key.partition(".")
        inner = merged.get(head)
        if rest:
            value = _merged(inner if isinstance(inner, dict) else {}, {rest: value})  # noqa: PLW2901
        if value is None:
            merged.pop(head, None)
        else:
            merged[head] = value
    return merged


def _kind(texts: Texts, code: str, kind: str | None, head: str) -> str:
    """The kind that is named, or the one that has a part of this code."""
    if kind is not None:
        if kind not in KINDS:
            meant = nearest(kind, KINDS)
            hint = f" Try {meant}." if meant else ""
            says = f"{plain(kind)} is no kind of part; they are {listed(list(KINDS))}.{hint}"
            raise _Misfit(says, "kind", code="data.edit-form")
        return kind
    for each in KINDS:
        if code in tables_in(texts.get(file_of(each), "")):
            return each
    raise _Misfit(_no_part(texts, code), head)


def _no_part(texts: Texts, code: str) -> str:
    known = [each for kind in KINDS for each in tables_in(texts.get(file_of(kind), ""))]
    meant = nearest(code, known)
    return f"there is no part {plain(code)}." + (
        f" Try {meant}." if meant else " A new one needs its kind."
    )


def _file_of_rule(texts: Texts, name: str) -> str | None:
    for file in sorted(texts):
        if file.startswith(RULES) and name in rules_in(texts[file]):
            return file
    return None


def _no_rule(texts: Texts, name: str) -> str:
    known = [each for file in texts if file.startswith(RULES) for each in rules_in(texts[file])]
    meant = nearest(name, known)
    return f"there is no rule {plain(name)}." + (f" Try {meant}." if meant else "")
