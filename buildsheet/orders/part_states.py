"""The states of a part in an edition, in words: why one that the catalog knows is not taken."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.catalog.parts import Part

STATE_WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "draft": "is a draft and not released yet",
        "no-new-orders": "takes no new orders",
        "service-only": "is kept for service only",
        "ended": "has ended",
    }
)


def closed_in_words(parts: Iterable[Part]) -> str:
    """What to add to 'there is none': the parts that there are, but that take no new orders.

    A draft is nobody's business outside the workshop: it is not named.

    >>> from types import SimpleNamespace as part
    >>> closed_in_words([part(code="C12-100", state="ended"), part(code="C15-100", state="draft")])
    ' C12-100 has ended.'
    """
    return "".join(
        f" {each.code} {STATE_WORDS[each.state]}."
        for each in parts
        if each.state not in ("active", "draft")
    )
