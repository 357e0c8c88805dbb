"""A wheel's plan on paper: what it says, where it goes, ink.

``request``  what a sheet is made from
``fonts``    the two embedded faces: widths, and what they have no letter for
``code``     the QR code as rows of dark modules
``content``  what the sheet says: plain strings, rounded as paper rounds; knows no place and no size
``layout``   where it goes: primitives in millimetres; knows no file format
``ink``      the primitives as PDF and as SVG, with no decision left
``render``   all of that for one sheet
``as_built`` the record on paper   ``charts``  curves and bars   ``part_picture``  a part as it is typed

Both outputs come from the same primitives. The same request gives the same bytes.
"""

from __future__ import annotations

from buildsheet.sheet.render import lacing_svg, pdf, svg
from buildsheet.sheet.request import Decals, Paper, Released, SheetRequest, Use

__all__ = ["Decals", "Paper", "Released", "SheetRequest", "Use", "lacing_svg", "pdf", "svg"]
