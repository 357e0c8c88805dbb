"""The lacing in words: the first four spokes, how they repeat, and what turns a wheel round."""

from __future__ import annotations

from typing import Final

from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.says import FirstSpoke, LacingSays
from buildsheet.wheel.spec import LacedSpoke, Run, Side, Sides

ORDINALS: Final = {1: "next", 2: "2nd", 3: "3rd"}


def lacing_says(plan: Plan) -> LacingSays:
    """The lacing block: always seen from the right side, from which rim holes are counted."""
    return LacingSays(
        view=f"Seen from the RIGHT ({plan.spokes.right.feature})",
        near=f"RIGHT · {plan.spokes.right.feature}: solid lines, square numbers",
        far=f"LEFT · {plan.spokes.left.feature}: dashed lines, round numbers",
        pattern=_pattern(plan),
        first=tuple(_first(spoke) for spoke in plan.lacing[:4]),
        repeat=_repeat(plan.lacing),
        faces=_faces(plan.lacing),
        cues=_cues(plan),
        spokes=plan.lacing,
        bed_offset_mm=plan.bed_offset_mm,
        from_centre_mm=Sides(
            left=plan.spokes.left.from_centre_mm, right=plan.spokes.right.from_centre_mm
        ),
    )


def _pattern(plan: Plan) -> str:
    crossings = {plan.spokes.left.crossings, plan.spokes.right.crossings}
    if crossings == {None}:
        return "pattern set by the hub"
    left, right = plan.spokes.left.crossings, plan.spokes.right.crossings
    if left == right:
        return _crossed(left)
    return f"LEFT {_crossed(left)}, RIGHT {_crossed(right)}"


def _crossed(crossings: int | None) -> str:
    if crossings is None:
        return "set by the hub"
    return f"{crossings} crossings" if crossings > 1 else ("1 crossing" if crossings else "radial")


def _first(spoke: LacedSpoke) -> FirstSpoke:
    return FirstSpoke(
        hole=str(spoke.hole),
        side=spoke.side,
        word=spoke.side.upper(),
        hub_hole=str(spoke.hub_hole),
        run=spoke.run,
        head="" if spoke.head == "none" else f"head {spoke.head}",
    )


def _repeat(spokes: tuple[LacedSpoke, ...]) -> tuple[str, ...]:
    """How the first spokes repeat: one line where both sides do it alike, else one for each."""
    rules: dict[Side, tuple[int, int] | None] = {
        "left": _rule(spokes, "left"),
        "right": _rule(spokes, "right"),
    }
    if None in rules.values():
        return ("Go on by the numbers of the picture.",)
    if rules["left"] == rules["right"]:
        return (_rule_says("Go on", rules["left"]),)
    return tuple(_rule_says(side.upper(), rules[side]) for side in ("right", "left"))


def _rule_says(who: str, rule: tuple[int, int] | None) -> str:
    rim, hub = rule or (1, 1)
    return f"{who}: every {_ordinal(rim)} rim hole, every {_ordinal(hub)} hub hole."


def _ordinal(step: int) -> str:
    """A step as counted: the next one, every 2nd, every 4th."""
    return ORDINALS.get(step, f"{step}th")


def _rule(spokes: tuple[LacedSpoke, ...], side: Side) -> tuple[int, int] | None:
    """Steps along rim and hub from a spoke to the next of its kind; None where they are uneven."""
    mine = [spoke for spoke in spokes if spoke.side == side]
    steps: set[tuple[int, int]] = set()
    for run in ("trailing", "leading", "radial"):
        kin = [spoke for spoke in mine if spoke.run == run]
        for one, other in zip(kin, kin[1:], strict=False):
            hub_step = (other.hub_hole - one.hub_hole) % len(mine)
            steps.add((other.hole - one.hole, hub_step))
    return steps.pop() if len(steps) == 1 else None


def _faces(spokes: tuple[LacedSpoke, ...]) -> tuple[str, ...]:
    """Where the heads lie and what passes over, said once for the whole wheel."""
    said: list[str] = []
    heads: dict[Run, str] = {spoke.run: spoke.head for spoke in spokes}
    words = [f"{run}: head {heads[run]}" for run in heads if heads[run] != "none"]
    if words:
        said.append(", ".join(words))
    if any(spoke.interlace == "over" for spoke in spokes):
        said.append("last crossing before the rim: leading OVER trailing")
    return tuple(said)


def _cues(plan: Plan) -> tuple[str, ...]:
    """What keeps the wheel from being laced the wrong way round."""
    cues = ["Hub label toward the valve."]
    disc = [side for side in ("left", "right") if plan.spokes[side].feature == "disc side"]
    if plan.position == "rear":
        cues.append("Gears on the RIGHT.")
    if disc:
        cues.append(f"Disc mount on the {disc[0].upper()}.")
    if plan.orientation:
        cues.append(f"Asymmetric rim: {plan.orientation}.")
    return tuple(cues)
