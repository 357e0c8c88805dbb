"""Figures of a form that may be empty, half typed or wrong: what to draw, and what to write on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from buildsheet.catalog.allowed import allowed_at
from buildsheet.catalog.parts import Part
from buildsheet.catalog.typed import typed_number


@dataclass(frozen=True, slots=True)
class Figure:
    """One dimension: the length to draw, the words on it, and whether it is what was typed."""

    drawn_mm: float
    label: str
    typed: bool


@dataclass(frozen=True, slots=True)
class Form:
    """The keys of one part as far as they are filled in."""

    model: type[Part]
    values: Mapping[str, object]

    def figure(self, stand_in_mm: float, *keys: str) -> Figure:
        """The number at ``keys`` where it is within what the key may hold, else the stand-in."""
        number = self.number(*keys)
        if number is None:
            return Figure(stand_in_mm, "?", typed=False)
        node = allowed_at(self.model, keys)
        if not node.get("minimum", number) <= number <= node.get("maximum", number):
            return Figure(stand_in_mm, f"{number:g}?", typed=False)
        return Figure(number, f"{number:g}", typed=True)

    def number(self, *keys: str) -> float | None:
        """The number at ``keys``, typed as a number or as text; None where there is none."""
        found = self.at(*keys)
        if isinstance(found, str):
            found = typed_number(found)
        if isinstance(found, bool) or not isinstance(found, (int, float)):
            return None
        try:
            number = float(found)
        except OverflowError:
            return None
        return number if isfinite(number) else None

    def word(self, *keys: str) -> str:
        """The text at ``keys``; '' where there is none."""
        found = self.at(*keys)
        return found if isinstance(found, str) else ""

    def at(self, *keys: str) -> object:
        """Whatever stands at ``keys``; None where nothing does."""
        found: object = self.values
        for key in keys:
            found = found.get(key) if isinstance(found, Mapping) else None
        return found
