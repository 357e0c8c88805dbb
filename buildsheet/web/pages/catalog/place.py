"""Where a finding about the catalog points."""

from __future__ import annotations


def members(at: str) -> tuple[str, ...]:
    """The members of a JSON Pointer.

    >>> members("/parts/rims.toml/OR33D/holes/0")
    ('parts', 'rims.toml', 'OR33D', 'holes', '0')
    """
    return tuple(each.replace("~1", "/").replace("~0", "~") for each in at.split("/")[1:])
