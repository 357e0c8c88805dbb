"""A string into a space: smaller down to a floor, then more lines, then a visible cut."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from buildsheet.sheet.fonts import Face, printable, width_share

CUT: Final = "…"
"""Says that something is missing here; the whole text is at the bench address."""

LEADING: Final = 1.2
"""Baseline to baseline, over the size."""

_SHRINK: Final = 0.94


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines that fit, the size they are set in, and whether anything was left out."""

    lines: tuple[str, ...]
    size_mm: float
    cut: bool


@lru_cache(maxsize=4096)
def fit(
    text: str,
    width_mm: float,
    size_mm: float,
    *,
    face: Face = "plain",
    floor_mm: float | None = None,
    lines: int = 1,
) -> Fitted:
    """The text in at most ``lines`` lines of ``width_mm``.

    Set in ``size_mm`` where it fits, else smaller down to ``floor_mm`` (default: no smaller), else
    cut with a sign. Characters that cannot be printed come out as a visible mark. Words longer than
    a line are broken.
    """
    shown = printable(text)
    floor_mm = size_mm if floor_mm is None else min(floor_mm, size_mm)
    size = size_mm
    while True:
        wrapped = wrap(shown, width_mm / size, face)
        if len(wrapped) <= lines:
            return Fitted(tuple(wrapped), size, cut=False)
        if size <= floor_mm:
            return Fitted(_cut(wrapped, width_mm / size, face, lines), size, cut=True)
        size = max(floor_mm, size * _SHRINK)


def fit_block(text: str, w_mm: float, h_mm: float, size_mm: float, floor_mm: float) -> Fitted:
    """The text in a block of this height: smaller type makes room for more lines, then it is cut."""
    size = size_mm
    while True:
        lines = max(1, int((h_mm / size - 1.0) / LEADING) + 1)
        found = fit(text, w_mm, size, lines=lines)
        if not found.cut or size <= floor_mm:
            return found
        size = max(floor_mm, size * _SHRINK)


def wrap(text: str, share: float, face: Face) -> list[str]:
    """Lines no wider than ``share`` (width over size), broken at blanks, or inside a long word."""
    found: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split():
            joined = f"{line} {word}" if line else word
            if width_share(joined, face) <= share:
                line = joined
                continue
            if line:
                found.append(line)
            *full, line = _broken(word, share, face)
            found.extend(full)
        if line:
            found.append(line)
    return found or [""]


def _broken(word: str, share: float, face: Face) -> list[str]:
    """One long word in pieces that fit, always at least one letter each."""
    pieces: list[str] = []
    piece, used = "", 0.0
    for letter in word:
        wide = width_share(letter, face)
        if piece and used + wide > share:
            pieces.append(piece)
            piece, used = "", 0.0
        piece += letter
        used += wide
    return [*pieces, piece]


def _cut(wrapped: list[str], share: float, face: Face, lines: int) -> tuple[str, ...]:
    last = wrapped[lines - 1]
    while last and width_share(last + CUT, face) > share:
        last = last[:-1]
    return (*wrapped[: lines - 1], last.rstrip() + CUT)
