"""Documents that are right, or wrong in one thing that only a look at the workshop tells: they pass the
form, and what lies behind it is asked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from random import Random
from typing import Any, Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.stock import articles

TODAY: Final = date(2031, 5, 1)
PEOPLE: Final = ("M. K.", "S. Keeper", "Q. Calibration", "\u00dc. \u0141", "x" * 40)
PIECES: Final = (0, 1, 2, 7, 24, 1000, 20_000, 999_999, 1_000_000)
REASONS: Final = ("", " ", "counted by hand", "the carrier lost it", "x" * 200)
KINDS: Final = ("received", "received", "counted", "expected", "called-off")


class Gauges:
    """Calibration tables and daily checks, of gauges that are there and of new ones."""

    def __init__(self, edition: Edition) -> None:
        self._spokes = [*edition.spokes, "SPOKE-NOBODY-HAS"]

    def made(self, dice: Random, turn: int) -> tuple[str, dict[str, Any]]:
        """Address and document."""
        gauge = dice.choice(("G1", "G2", "G3", f"G{turn}"))
        if dice.random() < 0.25:
            return "/gauges/check", self._check(dice, gauge)
        made_on = TODAY - timedelta(days=dice.choice((-2, -1, 0, 1, 30, 400, 9000)))
        due_on = made_on + timedelta(days=dice.choice((-1, 0, 1, 365, 365, 365, 3650)))
        return "/gauges", {
            "gauge": gauge,
            "spoke": dice.choice(self._spokes),
            "version": dice.choice(("v1", "v2", f"v{turn}", f"v{turn}", f"v{turn}")),
            "made_on": made_on.isoformat(),
            "due_on": due_on.isoformat(),
            "error_share": dice.choice((0.001, 0.03, 0.03, 0.499, 1e-12)),
            "marks": self._marks(dice),
            "by": dice.choice(PEOPLE),
        }

    def _check(self, dice: Random, gauge: str) -> dict[str, Any]:
        note = dice.choice(("", "short", "the rod was turned and held again", "x" * 200))
        return {
            "gauge": gauge,
            "good": dice.random() < 0.7,
            "by": dice.choice(PEOPLE),
            **({"note": note} if dice.random() < 0.6 else {}),
        }

    def _marks(self, dice: Random) -> list[dict[str, float]]:
        """Rising mostly, falling sometimes; in any order; now and then at the ends of what may be."""
        count = dice.choice((3, 3, 4, 6, 6, 12, 40))
        low, high = dice.choice(((8.0, 22.0), (0.0, 1.0), (-1000.0, 10_000.0), (5.0, 5.001)))
        forces = sorted(dice.uniform(1e-3, 5000.0) for _ in range(count))
        shown = sorted(dice.uniform(low, high) for _ in range(count))
        if dice.random() < 0.2:
            forces.reverse()
        marks = [{"shown": a, "force_n": b} for a, b in zip(shown, forces, strict=True)]
        if dice.random() < 0.2:
            marks[-1]["shown"] = marks[0]["shown"]
        if dice.random() < 0.3:
            dice.shuffle(marks)
        return marks


class Shelves:
    """Lists of movements of articles that there are."""

    def __init__(self, edition: Edition) -> None:
        self._articles = sorted(articles(edition))
        self._announced: list[str] = []

    def made(self, dice: Random, turn: int) -> tuple[str, dict[str, Any]]:
        """Address and document; what was announced once is called off or comes in later."""
        count = dice.choice((1, 1, 1, 2, 2, 3, 5, 8, 40, 200))
        lines = [self._line(dice) for _ in range(count)]
        self._announced = [
            *self._announced[-50:],
            *(each["part"] for each in lines if each["kind"] == "expected"),
        ]
        key = f"k-{turn:08d}" if dice.random() < 0.95 else f"k-{turn - 1:08d}"
        return "/stock/movements", {
            "key": key,
            "by": dice.choice(PEOPLE),
            "reason": dice.choice(REASONS) if dice.random() < 0.15 else REASONS[2],
            "movements": lines,
        }

    def _line(self, dice: Random) -> dict[str, Any]:
        kind = dice.choice(KINDS)
        parts: Sequence[str] = self._articles
        if kind in ("called-off", "received") and self._announced and dice.random() < 0.7:
            parts = self._announced
        line: dict[str, Any] = {"kind": kind, "part": dice.choice(parts)}
        line["pieces"] = 1 if kind == "called-off" else dice.choice(PIECES[1:])
        if kind == "expected":
            line["due_on"] = (TODAY + timedelta(days=dice.choice((-400, -1, 0, 1, 30)))).isoformat()
        if kind == "counted":
            line["pieces"] = dice.choice(PIECES)
        if dice.random() < 0.2:
            line["bin"] = dice.choice(("N1", "x" * 24, "R 1/2"))
        if kind == "received" and dice.random() < 0.2:
            line["announced"] = False
        return line
