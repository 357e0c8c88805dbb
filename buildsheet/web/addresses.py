"""Which addresses are asked by other systems, and which by people."""

from __future__ import annotations

from typing import Final

METRICS: Final = "/metrics"


def is_for_systems(path: str) -> bool:
    """Whether a key opens this address and it answers in documents; all others are pages for people.

    >>> is_for_systems("/api/v1/orders"), is_for_systems("/metrics"), is_for_systems("/orders")
    (True, True, False)
    """
    return path.startswith("/api/") or path == METRICS
