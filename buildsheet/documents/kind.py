"""What sort of document is read: its bounds, what it is called, and where its findings come from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from buildsheet.codes import CodeEntry, of_entry
from buildsheet.findings import Finding, Value


@dataclass(frozen=True, slots=True)
class Kind:
    """``called`` with its article ("an order"); ``family`` is the word before the dot of its codes, which
    stand in ``codes``. ``most_members`` bounds the answer to a hostile document; ``lines_allowed`` are the
    places where line breaks and tabs are text and not an accident."""

    called: str
    family: str
    codes: Mapping[str, CodeEntry]
    most_bytes: int = 64 * 1024
    most_levels: int = 12
    most_members: int = 400
    lines_allowed: frozenset[str] = field(default_factory=frozenset)

    def fault(
        self,
        slug: str,
        at: str,
        says: str,
        *,
        have: Mapping[str, Value] | None = None,
        need: Mapping[str, Value] | None = None,
    ) -> Finding:
        """A block about the document's form."""
        listed = self.codes[f"{self.family}.{slug}"]
        return of_entry(
            listed, "block", at, says, edition=None, have=have or {}, need=need or {}, also=()
        )
