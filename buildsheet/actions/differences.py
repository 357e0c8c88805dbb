"""Where two documents differ."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.findings import pointer

MOST_PLACES: Final = 20


def differences(old: object, new: object, at: str = "") -> tuple[str, ...]:
    """JSON Pointers to the places where ``new`` says something else than ``old``, at most twenty.

    >>> differences({"a": 1, "b": {"c": 2}}, {"a": 1, "b": {"c": 3}, "d": 4})
    ('/b/c', '/d')
    """
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        places: list[str] = []
        for name in [*old, *(each for each in new if each not in old)]:
            places.extend(differences(old.get(name), new.get(name), at + pointer(name)))
        return tuple(places[:MOST_PLACES])
    return () if old == new else (at,)
