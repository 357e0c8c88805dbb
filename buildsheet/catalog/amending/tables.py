"""One table of one TOML text, changed: comments, order and spelling of everything else stay as they are.

Values are what JSON has; None takes a key out. Text that is no TOML raises `Unreadable`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, Final, TypeGuard

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, Comment, InlineTable, Item, Table, Whitespace

from buildsheet.errors import CallerError
from buildsheet.findings import Value

Values = Mapping[str, Value]

RULE: Final = "rule"
"""The list of tables that a rules file consists of."""


class Unreadable(CallerError):
    """The text is no TOML, so nothing in it can be changed by name."""


def tables_in(text: str) -> dict[str, dict[str, Any]]:
    """Name -> plain values of every table of a part file."""
    return {name: each for name, each in _plainly(text).items() if isinstance(each, dict)}


def with_table(text: str, name: str, values: Values) -> str:
    """The text with exactly these values in a table, which is added where it is not there."""
    return with_tables(text, {name: values})


def with_tables(text: str, tables: Mapping[str, Values]) -> str:
    """As `with_table` for many tables: the text is read and written once, however many there are."""
    document = _parsed(text)
    inline = _all_inline(document)
    for name, values in tables.items():
        there = document.get(name)
        if isinstance(there, Table | InlineTable):
            _replace(there, values)
        elif there is None and inline:
            document[name] = _inline(values)
        else:
            if there is not None:
                document.remove(name)
            made = _table(values)
            if text:  # a blank line below what stands before it
                made.trivia.indent = "\n" if text.endswith("\n") else "\n\n"
            document.append(name, made)
            text = "\n"
    return tomlkit.dumps(document)


def without_table(text: str, name: str) -> str:
    """The text without a table. Raises KeyError where it is not there.

    What stands behind the table's last key is about the next one, and stays.
    """
    document = _parsed(text)
    if name not in document:
        raise KeyError(name)
    kept = _trailing(document[name])
    items = [item for key, item in document.body if key]
    place = [key.key for key, _ in document.body if key].index(name)
    document.remove(name)
    _hand_on(kept, items[place + 1] if place + 1 < len(items) else None)
    return tomlkit.dumps(document)


def with_value(text: str, key: str, value: Value) -> str:
    """The text with one value at a dotted key (``tension.gauge_error``); None takes it out.

    Raises KeyError where a table on the way is not there.
    """
    document = _parsed(text)
    *above, last = key.split(".")
    table: Any = document
    for name in above:
        table = table.get(name)
        if not isinstance(table, Table | InlineTable):
            raise KeyError(name)
    _put(table, last, value)
    return tomlkit.dumps(document)


def rules_in(text: str) -> dict[str, dict[str, Any]]:
    """Id -> plain values of every rule of a rules file; what has no id is left out."""
    rules = _plainly(text).get(RULE, [])
    found = [each for each in rules if isinstance(each, dict)] if isinstance(rules, list) else []
    return {each["id"]: each for each in found if isinstance(each.get("id"), str)}


def with_rule(text: str, name: str, values: Values) -> str:
    """The text with exactly these values in the rule of this id, which is added at the end."""
    document = _parsed(text)
    rules = _rules(document)
    whole: Values = {"id": name, **values}
    for each in rules:
        if each.get("id") == name:
            _replace(each, whole)
            return tomlkit.dumps(document)
    if isinstance(rules, Array):
        rules.append(_inline(whole))
    elif len(rules):
        rules.append(_apart(document, _table(whole)))
    else:
        document.append(RULE, AoT([_apart(document, _table(whole))]))
    return tomlkit.dumps(document)


def without_rule(text: str, name: str) -> str:
    """The text without a rule. Raises KeyError where it is not there."""
    document = _parsed(text)
    rules = _rules(document)
    for place, each in enumerate(rules):
        if each.get("id") == name:
            _hand_on(_trailing(each), rules[place + 1] if place + 1 < len(rules) else None)
            del rules[place]
            if not rules:
                document.remove(RULE)
            return tomlkit.dumps(document)
    raise KeyError(name)


def _rules(document: tomlkit.TOMLDocument) -> Any:
    """The list of tables, or an empty list; raises `Unreadable` where something else has its name."""
    rules = document.get(RULE, [])
    if not all(isinstance(each, Table | InlineTable) for each in rules):
        raise Unreadable(f"{RULE} is no list of tables")
    return rules


def _plainly(text: str) -> dict[str, Any]:
    """The values alone, read by the quicker of the two readers."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as trouble:
        raise Unreadable(str(trouble)) from trouble


def _parsed(text: str) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(text)
    except (TOMLKitError, ValueError, RecursionError) as trouble:
        raise Unreadable(str(trouble)) from trouble


def _replace(table: Table | InlineTable, values: Values) -> None:
    for key in [key for key in table if values.get(key) is None]:
        table.remove(key)
    for key, value in values.items():
        _put(table, key, value)


def _put(table: Any, key: str, value: Value) -> None:
    """Set one key; what already says the same is not touched, not even in its spelling."""
    there = table.get(key)
    if value is None:
        if there is not None:
            table.remove(key)
    elif there is None:
        _add(table, key, _item(value))
    elif not _same(_plain(there), value):
        # A whole number where the file has one with a point is written like it.
        is_float = isinstance(_plain(there), float)
        table[key] = _item(float(value) if is_float and _is_whole(value) else value)


def _add(table: Any, key: str, item: Item) -> None:
    """Add a key behind the last one, before the blank lines and comments that lead to what follows."""
    kept = _trailing(table)
    table.append(key, item)
    if isinstance(table, Table):
        item.trivia.trail = "\n"
    if kept:
        table.value.body.extend(kept)


def _trailing(table: Any) -> list[Any]:
    """Take the blank lines and comments behind a table's last key out of it."""
    if not isinstance(table, Table | InlineTable):
        return []
    body = table.value.body
    end = len(body)
    while end and isinstance(body[end - 1][1], Whitespace | Comment):
        end -= 1
    kept = body[end:]
    del body[end:]
    return kept


def _hand_on(kept: list[Any], following: Any) -> None:
    """Put blank lines and comments in front of the table that follows them."""
    if isinstance(following, AoT):
        following = following[0] if len(following) else None
    if isinstance(following, Table):
        lead = "".join(item.as_string() for _, item in kept)
        following.trivia.indent = lead + following.trivia.indent


def _all_inline(document: tomlkit.TOMLDocument) -> bool:
    items = [item for key, item in document.body if key]
    return bool(items) and all(isinstance(each, InlineTable) for each in items)


def _table(values: Values) -> Table:
    table = tomlkit.table()
    for key, value in values.items():
        if value is not None:
            table.append(key, _item(value))
    return table


def _apart(document: tomlkit.TOMLDocument, table: Table) -> Table:
    """A new table, one blank line below what stands before it."""
    text = tomlkit.dumps(document)
    if text:
        table.trivia.indent = "\n" if text.endswith("\n") else "\n\n"
    return table


def _inline(values: Values) -> InlineTable:
    table = tomlkit.inline_table()
    for key, value in values.items():
        if value is not None:
            table.append(key, _item(value))
    return table


def _item(value: Value) -> Item:
    """A value as TOML: tables inline, a list of tables one to a line."""
    if isinstance(value, Mapping):
        return _inline(value)
    if isinstance(value, list | tuple):
        # Read in one go: the library looks through the whole list again for each entry that is appended.
        array = tomlkit.array(f"[{', '.join(_item(each).as_string() for each in value)}]")
        return array.multiline(any(isinstance(each, Mapping) for each in value))
    return tomlkit.item(value)


def _plain(item: Any) -> Any:
    return item.unwrap() if hasattr(item, "unwrap") else item


def _same(one: Any, other: Any) -> bool:
    """Equal also in type, but for a whole number and the same number with a point."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    if isinstance(one, list) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, dict) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    return bool(one == other)


def _is_whole(value: Value) -> TypeGuard[int]:
    """A whole number that is the same number with a point."""
    return isinstance(value, int) and not isinstance(value, bool) and abs(value) < 2**53
