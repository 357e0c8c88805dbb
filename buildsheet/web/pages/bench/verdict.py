"""The pass that counts as the stand says it: word and mark, what to turn, how good the last advice was."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from buildsheet.actions.bench.view import BenchView
from buildsheet.bench.readings import Dish

SAID: Final[Mapping[str, tuple[str, str, str]]] = {
    "pass": ("✓", "Pass", "Everything that is asked was read and lies within its limits."),
    "rework": ("↻", "Rework", "Turn as said here, relieve, then read every spoke again."),
    "stop": (
        "✕",
        "Stop",
        "A spoke is too tight. Slacken first; keep your face out of the wheel's plane.",
    ),
    "not-judged": (
        "?",
        "Not judged",
        "Something is missing. What was not measured has not passed.",
    ),
}
UNREAD: Final = "not read"
REMARK: Final = "Turn once more, or a named person lets it pass with a reason."
FIRST: Final = ("bench.above-stop", "bench.sheet-void", "bench.other-rim", "bench.ratio")
_HARD: Final = {"block": 0, "approval": 1, "caution": 2, "note": 3}


@dataclass(frozen=True, slots=True)
class TurnSaid:
    """One nipple: arrow up tightens, arrow down slackens; ``amount`` of a turn."""

    hole: int
    side: str
    arrow: str
    word: str
    amount: str
    round: int
    rounds: int


@dataclass(frozen=True, slots=True)
class Line:
    """One figure of a small table: before and after, or said and come."""

    what: str
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class VerdictSaid:
    """A pass in words. ``findings`` are documents, the gravest first; ``prediction`` is how far the last
    advice was off."""

    number: int
    word: str
    mark: str
    title: str
    means: str
    may_remark: bool
    findings: tuple[Mapping[str, Any], ...]
    sides: Mapping[str, Mapping[str, Any]]
    ratio: float | None
    turns: tuple[TurnSaid, ...]
    predicted: tuple[Line, ...]
    prediction: tuple[Line, ...]
    why_not: str
    remarks: tuple[str, ...]

    @property
    def may_sign(self) -> bool:
        """Whether a name under this pass finishes the wheel."""
        return self.word == "pass" or self.may_remark


def verdict_said(view: BenchView) -> VerdictSaid | None:
    """The newest pass, or the one that stops the wheel; None where none was read."""
    newest = view.stop or (view.passes[-1] if view.passes else None)
    if newest is None:
        return None
    answer = json.loads(newest.answer)
    mark, title, means = SAID.get(newest.word, ("?", newest.word, ""))
    advice = answer["advice"]
    return VerdictSaid(
        number=newest.number,
        word=newest.word,
        mark=mark,
        title=title,
        means=REMARK if newest.may_remark else means,
        may_remark=newest.may_remark,
        findings=tuple(sorted(answer["findings"], key=_gravity)),
        sides=answer["sides"],
        ratio=answer["ratio"],
        turns=tuple(_turns(advice["rounds"])),
        predicted=tuple(_predicted(json.loads(newest.document), answer)),
        prediction=tuple(_prediction(answer["prediction"])),
        why_not=advice["why_not"],
        remarks=tuple(advice["remarks"]),
    )


def _gravity(finding: Mapping[str, Any]) -> tuple[bool, int]:
    return finding["code"] not in FIRST, _HARD[finding["severity"]]


def _turns(rounds: list[list[dict[str, Any]]]) -> Iterator[TurnSaid]:
    for place, walk in enumerate(rounds, start=1):
        for each in walk:
            tightens = each["eighths"] > 0
            yield TurnSaid(
                hole=each["hole"],
                side=each["side"],
                arrow="↑" if tightens else "↓",
                word="tighten" if tightens else "slacken",
                amount=amount(abs(each["eighths"])),
                round=place,
                rounds=len(rounds),
            )


def amount(eighths: int) -> str:
    """Eighths of a turn as a hand counts them.

    >>> amount(3), amount(8), amount(11)
    ('3/8 turn', '1 turn', '1 turn and 3/8')
    """
    whole, rest = divmod(eighths, 8)
    if not whole:
        return f"{rest}/8 turn"
    turns = f"{whole} turn{'s' if whole > 1 else ''}"
    return f"{turns} and {rest}/8" if rest else turns


def _predicted(read: Mapping[str, Any], answer: Mapping[str, Any]) -> Iterator[Line]:
    """What was read, and what it should be once everything is turned."""
    after = answer["advice"]["predicted"]
    if after is None or not answer["advice"]["rounds"]:
        return
    for name in ("lateral", "radial"):
        if after[f"{name}_mm"] is not None:
            was = (read.get(name) or {}).get("by_hole_mm") or ()
            known = [each for each in was if each is not None]
            before = f"{max(known) - min(known):.2f} mm" if known else UNREAD
            yield Line(f"{name.capitalize()}, full", before, f"{after[f'{name}_mm']:.2f} mm")
    if after["dish_mm"] is not None:
        dish = read.get("dish")
        offset = (
            Dish(dish["given_as"], dish["typed_mm"], dish["toward"]).offset_mm if dish else None
        )
        yield Line(
            "Dish offset", UNREAD if offset is None else _toward(offset), _toward(after["dish_mm"])
        )
    for what, pick in (("Highest spoke", max), ("Lowest spoke", min)):
        now_n = [each for each in answer["tension_n"] if each is not None]
        then_n = [each for each in after["tension_n"] if each is not None]
        if now_n and then_n:
            yield Line(what, f"{pick(now_n):.0f} N", f"{pick(then_n):.0f} N")


def _toward(offset_mm: float) -> str:
    side = "right" if offset_mm > 0 else "left"
    return f"{abs(offset_mm):.2f} mm {side}" if abs(offset_mm) >= 0.005 else "0.00 mm"


def _prediction(off: Mapping[str, Any] | None) -> Iterator[Line]:
    """How far what came lies from what was promised."""
    if off is None:
        return
    if off["tension_rms_n"] is not None:
        yield Line("Spoke tension", "typically off by", f"{off['tension_rms_n']:.0f} N")
    for name in ("lateral", "radial", "dish"):
        if off[f"{name}_mm"] is not None:
            yield Line(name.capitalize(), "off by", f"{off[f'{name}_mm']:+.2f} mm")
