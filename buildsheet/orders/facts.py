"""What an order says and what follows from it, as the facts that rules read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.catalog.parts import Rim
from buildsheet.catalog.rules.rule import Fact
from buildsheet.orders.members import Members
from buildsheet.plan.build import Computed
from buildsheet.wheel.spec import SIDES

WHOLE_OF_USE: Final = ("class", "front_rotor_mm", "rear_rotor_mm", "tyre_bead_seat_mm")
NUMBERS_OF_USE: Final = ("rider_kg", "bike_kg", "luggage_kg", "tyre_width_mm")
WORDS_OF_USE: Final = ("brake", "rotor_mount", "front_axle", "rear_axle", "tyre_system")


def _known(facts: Mapping[str, Fact | None]) -> dict[str, Fact]:
    return {name: value for name, value in facts.items() if value is not None}


def use_facts(use: Members, system_kg: float | None) -> dict[str, Fact]:
    """``use.*``; a bicycle on dry roads where the order says nothing else."""
    facts: dict[str, Fact | None] = {
        "use.system_kg": system_kg,
        "use.bike": use.word("bike") or "bicycle",
        "use.salt": use.flag("salt"),
    }
    facts.update((f"use.{name}", use.whole(name)) for name in WHOLE_OF_USE)
    facts.update((f"use.{name}", use.number(name)) for name in NUMBERS_OF_USE)
    facts.update((f"use.{name}", use.word(name)) for name in WORDS_OF_USE)
    cassette = use.inner("cassette")
    facts["use.cassette.spline"] = cassette.word("spline")
    facts["use.cassette.smallest_sprocket"] = cassette.whole("smallest_sprocket")
    return _known(facts)


def use_at_wheel(use: Members, position: str) -> dict[str, Fact]:
    """What the bicycle has at this wheel's end."""
    return _known(
        {
            "use.axle": use.word(f"{position}_axle"),
            "use.rotor_mm": use.whole(f"{position}_rotor_mm"),
        }
    )


def finish_facts(finish: Members, position: str | None, rim: Rim | None) -> dict[str, Fact]:
    """``finish.*``: of the wheel at a position, or (None) as ordered."""
    own = finish.word("rear_decal_colour") if position == "rear" else None
    size = finish.word("decal_size") or (rim.decal_size if rim is not None else None)
    return _known(
        {
            "finish.decal_colour": own or finish.word("decal_colour"),
            "finish.decal_size": size,
        }
    )


def order_facts(draft: Members) -> dict[str, Fact]:
    """``order.*``."""
    return _known({"order.kind": draft.word("kind"), "order.market": draft.word("market")})


def plan_facts(computed: Computed) -> dict[str, Fact]:
    """``plan.*`` of a computed wheel; a stock length is absent where none lies in the window."""
    facts: dict[str, Fact | None] = {
        "plan.stop_n": computed.tension.stop_n,
        "plan.ratio": computed.tension.ratio,
        "plan.mass_g": computed.mass_g,
    }
    for side in SIDES:
        solved, stock_mm = computed.mechanics.sides[side], computed.stock[side].stock_mm
        facts[f"plan.{side}_exact_mm"] = solved.exact_mm
        facts[f"plan.{side}_target_mm"] = solved.target_mm
        facts[f"plan.{side}_tension_n"] = solved.tension_n
        facts[f"plan.{side}_stock_mm"] = None if stock_mm is None else float(stock_mm)
    return _known(facts)
