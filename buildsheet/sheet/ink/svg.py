"""Primitives as SVG text that may be put into a page or served as a picture.

No identifiers, no style sheets, no scripts, no links: nothing can clash with the page round it or
offend a strict content security policy.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final
from xml.sax.saxutils import escape

from buildsheet.sheet.fonts import printable
from buildsheet.sheet.layout.primitives import (
    Box,
    Cells,
    Dash,
    Disc,
    Outline,
    Page,
    Primitive,
    Strokes,
    Text,
)

FAMILY: Final = "DejaVu Sans Condensed, DejaVu Sans, Verdana, sans-serif"
"""Where the face is missing, ``textLength`` keeps every line as wide as on paper."""


def svg_text(page: Page, css_class: str = "") -> str:
    """The page as one ``svg`` element, of this class where one is given: a page's own style sheet may
    then size and colour it, over what the attributes here say."""
    body = "".join(_element(each) for each in page.ink)
    named = f' class="{css_class}"' if css_class else ""
    w, h = _n(page.w_mm), _n(page.h_mm)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" width="{w}mm" height="{h}mm"'
        f'{named} role="img" fill="none" stroke-linecap="butt">'
        f"<title>{escape(printable(page.title))}</title>"
        f'<rect width="{w}" height="{h}" fill="#fff"/>{body}</svg>'
    )


def _n(value: float) -> str:
    """A number to the hundredth of a millimetre, without idle zeros.

    >>> _n(3.0), _n(0.126), _n(-0.001)
    ('3', '0.13', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _element(primitive: Primitive) -> str:
    match primitive:
        case Text():
            return _text(primitive)
        case Strokes():
            path = "".join(
                f"M{_n(x1)} {_n(y1)}L{_n(x2)} {_n(y2)}" for x1, y1, x2, y2 in primitive.segments
            )
            return f'<path d="{path}"{_stroke(primitive.width_mm, primitive.dash_mm)}/>'
        case Box():
            radius = f' rx="{_n(primitive.radius_mm)}"' if primitive.radius_mm else ""
            return (
                f'<rect x="{_n(primitive.x_mm)}" y="{_n(primitive.y_mm)}" width="{_n(primitive.w_mm)}"'
                f' height="{_n(primitive.h_mm)}"{radius}{_paint(primitive.width_mm, primitive.fill)}/>'
            )
        case Disc():
            return (
                f'<circle cx="{_n(primitive.x_mm)}" cy="{_n(primitive.y_mm)}" r="{_n(primitive.r_mm)}"'
                f"{_paint(primitive.width_mm, primitive.fill, primitive.dash_mm)}/>"
            )
        case Outline():
            points = "L".join(f"{_n(x)} {_n(y)}" for x, y in primitive.points)
            close = "Z" if primitive.closed else ""
            paint = _paint(primitive.width_mm, primitive.fill, primitive.dash_mm)
            return f'<path d="M{points}{close}"{paint}/>'
        case Cells():
            return f'<path d="{_cells(primitive.cells)}" fill="#000"/>'


def _cells(cells: Iterable[tuple[float, float, float, float]]) -> str:
    # Four decimals: a module's edge rounded to the hundredth would show seams.
    return "".join(f"M{x:.4f} {y:.4f}h{w:.4f}v{h:.4f}h{-w:.4f}z" for x, y, w, h in cells)


def _stroke(width_mm: float, dash_mm: Dash = ()) -> str:
    dash = f' stroke-dasharray="{" ".join(_n(each) for each in dash_mm)}"' if dash_mm else ""
    return f' stroke="#000" stroke-width="{_n(width_mm)}"{dash}'


def _paint(width_mm: float, fill: str, dash_mm: Dash = ()) -> str:
    filled = {"": "", "white": ' fill="#fff"', "black": ' fill="#000"'}[fill]
    return filled + (_stroke(width_mm, dash_mm) if width_mm else "")


def _text(text: Text) -> str:
    weight = ' font-weight="700"' if text.face == "bold" else ""
    colour = "#fff" if text.white else "#000"
    return (
        f'<text x="{_n(text.x_mm)}" y="{_n(text.y_mm)}" font-family="{FAMILY}"'
        f' font-stretch="condensed" font-size="{_n(text.size_mm)}"{weight} fill="{colour}"'
        f' textLength="{_n(text.width_mm)}" lengthAdjust="spacingAndGlyphs" xml:space="preserve">'
        f"{escape(text.text)}</text>"
    )
