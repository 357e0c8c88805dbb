"""The two embedded faces: where they lie, how wide a string is, and what they have no letter for.

DejaVu Sans Condensed, regular and bold: every figure as wide as every other, and letters for Latin,
Greek, Cyrillic and the usual symbols. The files come with a font package; that package's own code is
never imported.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final, Literal

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from buildsheet.errors import WorldError

Face = Literal["plain", "bold"]

FILES: Final[dict[Face, str]] = {
    "plain": "DejaVuSansCondensed.ttf",
    "bold": "DejaVuSansCondensed-Bold.ttf",
}
REGISTERED: Final[dict[Face, str]] = {"plain": "SheetPlain", "bold": "SheetBold"}
"""The names the PDF library knows the faces by."""

CAPITAL_SHARE: Final = 0.729
"""Height of a capital over the size of the face [read from the files' OS/2 table: 1493 / 2048]."""

DESCENT_SHARE: Final = 0.24
"""How far letters reach below the baseline, over the size [read from the files' hhea table]."""

NO_GLYPH: Final = "\ufffd"
"""Stands visibly where a character cannot be printed."""

_PACKAGE: Final = "rinoh_typeface_dejavusans"


@lru_cache(maxsize=2)
def font(face: Face) -> TTFont:
    """The face, read and registered once per process; WorldError where the package is missing."""
    found = find_spec(_PACKAGE)
    if found is None or not found.submodule_search_locations:
        raise WorldError("The sheet's font is missing: install rinoh-typeface-dejavusans.")
    path = Path(found.submodule_search_locations[0]) / FILES[face]
    made = TTFont(REGISTERED[face], str(path))
    pdfmetrics.registerFont(made)
    return made


@lru_cache(maxsize=2)
def _widths(face: Face) -> dict[int, float]:
    return dict(font(face).face.charWidths)


@lru_cache(maxsize=8192)
def width_share(text: str, face: Face) -> float:
    """Width of one line of printable text over the size it is set in.

    >>> width_share("277", "bold") == width_share("111", "bold")
    True
    """
    widths = _widths(face)
    return sum(widths[ord(letter)] for letter in text) / 1000.0


@lru_cache(maxsize=2048)
def printable(text: str) -> str:
    r"""The text with a visible mark for every character that cannot be printed; line breaks stay.

    Composed first, so that a letter typed as letter and accent is one glyph.

    >>> printable("Hu\u1ebf\x07 \u6771") == "Hu\u1ebf\ufffd \ufffd"
    True
    """
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n"))
    return "".join(_printed(letter) for letter in composed)


def _printed(letter: str) -> str:
    if letter in "\n\t ":
        return "\n" if letter == "\n" else " "
    plain, bold = _widths("plain"), _widths("bold")
    code = ord(letter)
    kind = unicodedata.category(letter)
    if kind[0] in "CZ" and kind != "Zs":
        return NO_GLYPH
    return letter if code in plain and code in bold else NO_GLYPH
