"""The picture of a part, from whatever of it is known so far."""

from __future__ import annotations

from collections.abc import Mapping

from buildsheet.sheet.part_picture import PICTURED, part_picture

__all__ = ["PICTURED", "draw_part"]


def draw_part(kind: str, values: Mapping[str, object]) -> str | None:
    """The picture as SVG; None for a kind that has none (see `PICTURED`)."""
    return part_picture(kind, values)
