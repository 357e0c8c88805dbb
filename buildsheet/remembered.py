"""A memory of what was used lately, and a key for things that cannot be hashed."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

Kept = TypeVar("Kept")


class Same(Generic[Kept]):
    """A thing as the very thing it is, for a key: equal to itself alone. For what holds tables and cannot
    be hashed, or would take longer to compare than to ask again.

    >>> one, other = [1], [1]
    >>> Same(one) == Same(one), Same(one) == Same(other)
    (True, False)
    """

    __slots__ = ("it",)

    def __init__(self, it: Kept) -> None:
        self.it = it

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.it is other.it

    def __hash__(self) -> int:
        return id(self.it)


class Remembered(Generic[Kept]):
    """Things by their keys, at most so many; what was not asked for lately goes, so that what comes once
    does not drive out what comes all week. Threads may share it: what two of them make at once is made
    twice.

    >>> kept = Remembered[int](4)
    >>> for name in ("a", "b", "c"):
    ...     kept.put(name, 1)
    >>> kept.get("a"), kept.put("d", 1), kept.get("b"), kept.get("a")
    (1, None, None, 1)
    """

    def __init__(self, most: int) -> None:
        self._half = most // 2
        self._young: dict[Hashable, Kept] = {}
        self._old: dict[Hashable, Kept] = {}

    def get(self, key: Hashable) -> Kept | None:
        """What stands under this key, None where nothing does."""
        kept = self._young.get(key)
        if kept is None:
            kept = self._old.get(key)
            if kept is not None:
                self.put(key, kept)
        return kept

    def put(self, key: Hashable, kept: Kept) -> None:
        """Keep it; where half of the room is taken, the other half is cleared for what comes."""
        if len(self._young) >= self._half:
            self._old, self._young = self._young, {}
        self._young[key] = kept

    def clear(self) -> None:
        """Forget all of it."""
        self._young, self._old = {}, {}
