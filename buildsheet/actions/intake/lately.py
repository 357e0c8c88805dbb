"""A memory of what was used last: what comes once does not drive out what comes all week."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Made = TypeVar("Made")


class Lately(Generic[Key, Made]):
    """At most so many things by their keys; whichever was asked for longest ago is forgotten first.

    >>> kept = Lately[str, int](2)
    >>> kept.put("a", 1), kept.put("b", 2), kept.get("a"), kept.put("c", 3)
    (None, None, 1, None)
    >>> kept.get("a"), kept.get("b"), kept.get("c")
    (1, None, 3)
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Key, Made] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Key) -> Made | None:
        """What stands under this key, None where nothing does."""
        with self._lock:
            made = self._kept.get(key)
            if made is not None:
                self._kept.move_to_end(key)
        return made

    def put(self, key: Key, made: Made) -> None:
        """Keep it as the newest."""
        with self._lock:
            self._kept[key] = made
            self._kept.move_to_end(key)
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)

    def clear(self) -> None:
        """Forget all of it."""
        with self._lock:
            self._kept.clear()
