"""What stands behind the figures of a catalog file: the comment at the end of a key's line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Item, Table


def notes_in(text: str) -> dict[str, str]:
    """Dotted key -> its comment, without the sign; nothing of a text that is no TOML.

    >>> notes_in("[length]" + chr(10) + "aim_mm = 0.3  # rather long than short [proposal]")
    {'length.aim_mm': 'rather long than short [proposal]'}
    """
    try:
        return dict(_notes(tomlkit.parse(text), ""))
    except (TOMLKitError, ValueError, RecursionError):
        return {}


def _notes(table: Mapping[str, object], above: str) -> Iterator[tuple[str, str]]:
    for key, item in table.items():
        if isinstance(item, Table):
            yield from _notes(item, f"{above}{key}.")
        elif isinstance(item, Item):
            note = item.trivia.comment.lstrip("#").strip()
            if note:
                yield above + key, note
