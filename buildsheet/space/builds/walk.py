"""The sound wheels of one rim with one hub: every way of joining them, refused as early as possible."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING, Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders.checks import Question
from buildsheet.orders.posted import Posted
from buildsheet.plan.assembly import spoke_axial_n
from buildsheet.plan.build import Computed
from buildsheet.plan.tension import limits
from buildsheet.space.builds.build import FigureRow, WheelBuild
from buildsheet.space.builds.pairs import Pair
from buildsheet.space.questions import BUILD, Asking, askings_within
from buildsheet.wheel.spec import Side

if TYPE_CHECKING:
    from buildsheet.wheel.structure import Softer

STRUCTURE: Final = "structure.carries"
"""The check that costs most; of it only the refusal is wanted here."""

Row = tuple[WheelBuild, FigureRow]

ORDER_OF_CHOICE: Final = (
    *("rim", "hub", "holes", "crossings", "nipple", "washer"),
    *("spoke/left", "spoke/right"),
)
"""Members as they are chosen: those that refuse most come first."""

REMEMBERED_PAIRS: Final = 1024


@lru_cache(maxsize=REMEMBERED_PAIRS)
def sound_wheels(pair: Pair) -> tuple[Row, ...]:
    """Every wheel of this rim and hub that no check blocks, with its figures, in a stable order."""
    return tuple(_sound(pair))


def _sound(pair: Pair) -> Iterator[Row]:
    edition = pair.edition()
    small, whole = _askings(pair.position)
    last = tuple(dict.fromkeys(each.question for each in whole if each.question.check != STRUCTURE))
    softer = _softest(pair)
    for members in _partial(pair, edition, small):
        posted = Posted(_document(pair.position, members), edition)
        if any(_blocks(question, posted) for question in last):
            continue
        wheel = posted.wheel(pair.position)
        if wheel is not None and wheel.computed is not None and carries(wheel.computed, softer):
            yield _build(pair, members), _figures(wheel.computed)


def carries(computed: Computed, softer: Softer | None = None) -> bool:
    """Whether the check of the structure lets the wheel pass, without all that it also remarks on.

    ``softer`` as in `buildsheet.wheel.structure.stands`.
    """
    if computed.assembly.rim.section is None:
        return False
    # scipy is slow to import: only a call that needs the structure pays for it
    from buildsheet.wheel import structure

    return structure.stands(computed.spec, softer)


def _softest(pair: Pair) -> Softer | None:
    """The softest spoke of all and the highest tension that the rim's own limit allows."""
    from buildsheet.wheel import structure

    limit_n, spokes = pair.rim.spoke_limit_n, pair.around.spokes
    if limit_n is None or not spokes:
        return None
    axial_n = min(spoke_axial_n(each) for each in spokes)
    return structure.Softer(axial_n, limit_n * pair.around.tension.limit_share)


@lru_cache(maxsize=2)
def _askings(position: str) -> tuple[Mapping[str, tuple[Asking, ...]], tuple[Asking, ...]]:
    """Askings by the last member, in the order of choice, that they need; and those that need all."""
    places = {f"/{position}/{member}": member for member in BUILD}
    small: dict[str, list[Asking]] = {member: [] for member in ORDER_OF_CHOICE}
    whole: list[Asking] = []
    for asking in askings_within(frozenset(places)):
        if len(asking.reads) == len(places):
            whole.append(asking)
        else:
            read = (places[at] for at in asking.reads)
            small[max(read, key=ORDER_OF_CHOICE.index)].append(asking)
    return {member: tuple(each) for member, each in small.items()}, tuple(whole)


def _blocks(question: Question, posted: Posted) -> bool:
    return any(each.finding.blocks for each in question.ask(posted))


def _partial(
    pair: Pair, edition: Edition, askings: Mapping[str, tuple[Asking, ...]]
) -> Iterator[dict[str, Value]]:
    """Every choice of members that no asking about some of them refuses."""
    chosen: dict[str, Value] = {}
    known: dict[tuple[object, ...], bool] = {}

    def suits(member: str) -> bool:
        return not any(refuses(asking) for asking in askings[member])

    def refuses(asking: Asking) -> bool:
        values = tuple(str(chosen[at.split("/", 2)[2]]) for at in asking.reads)
        key = (asking.question.check, asking.reads, values)
        if key not in known:
            document = _document(pair.position, chosen)
            known[key] = asking.block(document, edition) is not None
        return known[key]

    def choose(depth: int) -> Iterator[dict[str, Value]]:
        if depth == len(ORDER_OF_CHOICE):
            yield dict(chosen)
            return
        member = ORDER_OF_CHOICE[depth]
        for value in _values(pair, member):
            chosen[member] = value
            if suits(member):
                yield from choose(depth + 1)
        del chosen[member]

    yield from choose(0)


def _values(pair: Pair, member: str) -> list[Value]:
    """What may stand at a member, sound or not; what no check would let pass is left out early only
    where the hub itself lists what it takes."""
    around = pair.around
    if member in ("rim", "hub"):
        return [pair.rim.code if member == "rim" else pair.hub.code]
    if member == "holes":
        return list(pair.rim.holes)
    if member == "crossings":
        return [None, *_patterns(pair)]
    if member == "nipple":
        return [each.code for each in around.nipples]
    if member == "washer":
        return [None, *(each.code for each in around.washers)]
    return [each.code for each in around.spokes]


def _patterns(pair: Pair) -> list[Value]:
    hub = pair.hub
    released = sorted({*hub.crossings, *((0,) if hub.radial_holes else ())})
    return [{"left": left, "right": right} for left, right in product(released, released)]


def _document(position: str, members: Mapping[str, Value]) -> dict[str, Value]:
    wheel: dict[str, Value] = {}
    spoke: dict[str, Value] = {}
    for member, value in members.items():
        if member.startswith("spoke/"):
            spoke[member.removeprefix("spoke/")] = value
        elif value is not None:
            wheel[member] = value
    if spoke:
        wheel["spoke"] = spoke
    return {position: wheel}


def _build(pair: Pair, members: Mapping[str, Value]) -> WheelBuild:
    crossings, holes = members["crossings"], members["holes"]
    washer = members["washer"]
    pattern = (
        (int(str(crossings["left"])), int(str(crossings["right"])))
        if isinstance(crossings, dict)
        else None
    )
    return WheelBuild(
        position=pair.position,
        rim=pair.rim.code,
        holes=int(str(holes)),
        hub=pair.hub.code,
        crossings=pattern,
        spokes=(str(members["spoke/left"]), str(members["spoke/right"])),
        nipple=str(members["nipple"]),
        washer=None if washer is None else str(washer),
    )


def _figures(computed: Computed) -> FigureRow:
    sides, stock, tension = computed.mechanics.sides, computed.stock, computed.tension
    drilling = computed.drilling
    low_mm, high_mm = stock.left.window_mm
    return FigureRow(
        left_exact_mm=sides.left.exact_mm,
        right_exact_mm=sides.right.exact_mm,
        left_target_mm=sides.left.target_mm,
        right_target_mm=sides.right.target_mm,
        left_stock_mm=stock.left.stock_mm or 0,
        right_stock_mm=stock.right.stock_mm or 0,
        window_low_mm=low_mm,
        window_high_mm=high_mm,
        left_n=tension.left_n,
        right_n=tension.right_n,
        stop_n=tension.stop_n,
        limit_n=limits(computed.assembly)[0].limit_n,
        ratio=tension.ratio,
        mass_g=computed.mass_g,
        left_lateral_deg=_lateral_deg(computed, "left"),
        right_lateral_deg=_lateral_deg(computed, "right"),
        in_plane_deg=max(abs(each.in_plane_deg) for each in drilling.holes),
        off_axis_deg=drilling.largest_misalignment_deg or 0.0,
        program=drilling.program or "",
    )


def _lateral_deg(computed: Computed, side: Side) -> float:
    leans = [abs(each.lateral_deg) for each in computed.drilling.holes if each.side == side]
    return sum(leans) / len(leans)
