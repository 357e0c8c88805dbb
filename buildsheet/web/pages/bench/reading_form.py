"""What a pass of readings asks, card by card: with a script one card at a time, without one all of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from buildsheet.actions.bench.view import BenchView
from buildsheet.units import kgf
from buildsheet.web.pages.bench.field import BY, Field
from buildsheet.wheel.spec import Side

THREADS: Final = ("in", "below", "above")
GIVEN_AS: Final = (
    ("full", "full reading of a turn"),
    ("plus-minus", "plus/minus about the middle"),
)


@dataclass(frozen=True, slots=True)
class Card:
    """What is asked at one time. ``hole`` from 1 where it is about one spoke; ``shape`` for the cards that
    are walked only where run-out is read at each hole."""

    title: str
    fields: tuple[Field, ...]
    kind: Literal["plain", "tension", "shape"] = "plain"
    hole: int = 0
    side: Side | None = None
    hint: str = ""


def reading_cards(view: BenchView) -> tuple[Card, ...]:
    """Every card of a pass, in the order in which they are walked."""
    return (*_about(view), *_tension(view), *_shape(view), *_last(view))


def _about(view: BenchView) -> tuple[Card, ...]:
    unit = Field(
        "tension.unit",
        "What the gauge shows",
        "choice",
        choices=(("scale", "its own scale"), ("n", "newtons"), ("kgf", "kgf")),
    )
    return (
        Card("Who reads, with which gauge", (BY, _gauge(view), unit)),
        Card(
            "Which wheel lies here",
            (
                Field("rim_serial", "Serial of the rim", "line"),
                Field("hub_serial", "Serial of the hub", "line"),
            ),
        ),
    )


def _gauge(view: BenchView) -> Field:
    spokes = sorted({view.task.spokes.left, view.task.spokes.right})
    names = sorted({gauge for gauge, _ in view.tables})
    if not names:
        return Field(
            "tension.gauge",
            "Gauge (none has a table, so nothing is judged: buildsheet gauge add FILE)",
            "line",
        )
    choices = []
    for name in names:
        lacking = [each for each in spokes if (name, each) not in view.tables]
        words = f"{name}, no table for {' and '.join(lacking)}: not judged" if lacking else name
        choices.append((bool(lacking), name, words))
    return Field(
        "tension.gauge",
        "Gauge",
        "pick",
        choices=tuple((name, words) for _, name, words in sorted(choices)),
    )


def _tension(view: BenchView) -> tuple[Card, ...]:
    cards = []
    for each in view.task.lacing:
        target_n = view.task.target_n[each.side]
        field = Field(
            f"tension.typed.{each.hole - 1}",
            f"Hole {each.hole}, {each.side.upper()}",
            "number",
            wanted=f"{target_n:.0f} N, {kgf(target_n):.0f} kgf",
        )
        cards.append(Card("", (field,), "tension", each.hole, each.side))
    return tuple(cards)


def _shape(view: BenchView) -> tuple[Card, ...]:
    sheet = view.stand.house.sheet
    whole = tuple(
        Card(
            f"{name.capitalize()} run-out",
            (
                Field(
                    f"{name}.typed_mm", "Run-out of a turn", "number", "mm", f"{most_mm:.2f} full"
                ),
                Field(f"{name}.given_as", "The figure is the", "choice", choices=GIVEN_AS),
            ),
            hint=hint,
        )
        for name, most_mm, hint in (
            (
                "lateral",
                sheet.lateral_mm,
                "Read at each hole instead, and the page says what to turn.",
            ),
            ("radial", sheet.radial_mm, ""),
        )
    )
    by_hole = tuple(
        Card(
            "",
            (
                Field(
                    f"lateral.by_hole_mm.{each.hole - 1}", "Lateral, + to the right", "number", "mm"
                ),
                Field(f"radial.by_hole_mm.{each.hole - 1}", "Radial, + outward", "number", "mm"),
            ),
            "shape",
            each.hole,
            each.side,
        )
        for each in view.task.lacing
    )
    return (*whole, *by_hole)


def _last(view: BenchView) -> tuple[Card, ...]:
    samples = view.stand.house.bench.thread_samples
    dish = (
        Field(
            "dish.typed_mm",
            "Dish",
            "number",
            "mm",
            f"{view.stand.house.sheet.dish_offset_mm:.2f} offset",
        ),
        Field(
            "dish.given_as",
            "The figure is the",
            "choice",
            choices=(("offset", "offset of the rim"), ("gap", "gap under the gauge, twice that")),
        ),
        Field(
            "dish.toward",
            "The rim stands toward the",
            "choice",
            choices=(("left", "left"), ("right", "right")),
        ),
    )
    caps = (Field("caps_fitted", "The dish was read with the ordered end caps fitted", "yes-no"),)
    ends = (
        Field("threads.in", "Spoke ends in the window", "whole", wanted=f"{samples} looked at"),
        Field("threads.below", "Ends below the slot", "whole"),
        Field("threads.above", "Ends above the head", "whole"),
    )
    hand = (
        Field("free_play", "The hub has play or drags", "yes-no"),
        Field("twisted", "Spokes are wound up", "yes-no"),
        Field(
            "relief_rounds",
            "Rounds of stress relief",
            "whole",
            wanted=f"{view.stand.house.bench.relief_rounds}",
        ),
    )
    mass = (Field("mass_g", "Mass of the wheel", "number", "g", f"{view.task.mass_g:.0f}"),)
    return (
        Card("Dish", dish),
        Card("End caps", caps),
        Card("Spoke ends, seen from the tyre side", ends),
        Card("By hand and eye", hand),
        Card("Mass", mass),
    )
