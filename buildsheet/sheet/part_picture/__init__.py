"""A part as it is typed: a rim's section, a hub's flanges, drawn from whatever is filled in so far.

``typed``      the figures that a form holds, each drawn as typed or as a stand-in that says so
``dimension``  dimension lines with their figures
``rim`` ``hub``  the two pictures

What is not typed yet, or cannot be, is drawn with a usual figure, its line dashed and marked with a
question mark: the picture helps while typing and never looks finished before it is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.part_picture.hub import hub_page
from buildsheet.sheet.part_picture.rim import rim_page

__all__ = ["PICTURED", "part_page", "part_picture"]

_PAGES: Final[Mapping[str, Callable[[Mapping[str, object]], Page]]] = MappingProxyType(
    {"rims": rim_page, "hubs": hub_page}
)
PICTURED: Final = tuple(_PAGES)
"""The kinds that have a picture."""


def part_page(kind: str, values: Mapping[str, object]) -> Page | None:
    """The picture as primitives; None for a kind without one. ``values`` as in `part_picture`."""
    draw = _PAGES.get(kind)
    return draw(values) if draw else None


def part_picture(kind: str, values: Mapping[str, object]) -> str | None:
    """The picture as one SVG element of class ``part-picture``; None for a kind without one.

    ``values`` are a part's keys as a catalog file holds them, tables inside tables; numbers may be
    text with a decimal point or comma, and anything may be missing, empty or wrong. The same values
    give the same text; nothing of it comes from outside but numbers.
    """
    page = part_page(kind, values)
    return svg_text(page, css_class="part-picture") if page else None
