"""What to do with an open order that an edition touches: keep, re-issue, hold or cancel, and why.

An order stays held to its own edition: nothing here happens by itself. What may still be done depends on
how far the order has come [common practice; proposal]: before anything is drilled all is free; a
drilled rim binds the pattern; while building, parts stay; what is built stays built.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from buildsheet.space.impact.orders import Moved, Touched

Proposal = Literal["keep", "re-issue", "hold", "cancel"]
Stage = Literal["waiting", "prepared", "drilled", "building", "built"]
Touch = Literal[
    "gone", "block", "release", "lower-limit", "other-size", "other-length", "ended", "relaxed"
]

PROPOSALS: Final[tuple[Proposal, ...]] = ("keep", "re-issue", "hold", "cancel")
"""From what costs nothing to what ends the order."""

STAGES: Final[Mapping[str, Stage]] = {
    "received": "waiting",
    "accepted": "waiting",
    "on-hold": "waiting",
    "held": "waiting",
    "released": "prepared",
    "kitted": "prepared",
    "drilled": "drilled",
    "building": "building",
    "rework": "building",
    "inspected": "built",
    "finished": "built",
    "packed": "built",
    "shipped": "built",  # one wheel has gone, the order is still open
}
"""State of an open order -> how far it has come."""

_Row = Mapping[Stage, tuple[Proposal, str]]

TABLE: Final[Mapping[Touch, _Row]] = {
    "gone": {
        "waiting": ("cancel", "nothing is started, and no wheel with this rim and hub is left"),
        "prepared": (
            "cancel",
            "the parts go back on the shelf; no wheel with this rim and hub is left",
        ),
        "drilled": (
            "hold",
            "the rim is drilled, and no wheel like it is left: decide by name",
        ),
        "building": (
            "hold",
            "the wheel is being built, and no wheel like it is left: decide by name",
        ),
        "built": ("hold", "the wheel is built, and no wheel like it is left: decide by name"),
    },
    "block": {
        "waiting": ("hold", "the sender has to choose again; nothing is lost"),
        "prepared": ("hold", "the sender has to choose again; the kit is packed anew"),
        "drilled": (
            "hold",
            "the sender has to choose again; the rim is kept only where its drilling fits",
        ),
        "building": ("hold", "the wheel cannot go on as it is; another one or a release by name"),
        "built": ("hold", "the wheel does not go out before somebody releases it by name"),
    },
    "release": {
        "waiting": ("hold", "it needs a release by name"),
        "prepared": ("hold", "it needs a release by name"),
        "drilled": ("hold", "it needs a release by name"),
        "building": ("hold", "it needs a release by name"),
        "built": ("hold", "it needs a release by name before it goes out"),
    },
    "lower-limit": {
        "waiting": ("re-issue", "same parts, lower tension"),
        "prepared": ("re-issue", "same parts, lower tension"),
        "drilled": ("re-issue", "same parts, lower tension"),
        "building": ("re-issue", "same parts, lower tension: ease what is above the new stop"),
        "built": ("hold", "measured tensions may lie above the new stop: look at the record"),
    },
    "other-size": {
        "waiting": ("re-issue", "another geometry or another drilling program"),
        "prepared": ("re-issue", "another geometry or another drilling program: pack the kit anew"),
        "drilled": ("hold", "the rim is drilled by the old figures: measure before lacing"),
        "building": ("hold", "the wheel is laced by the old figures: measure before going on"),
        "built": ("keep", "the wheel is built and was measured"),
    },
    "other-length": {
        "waiting": ("re-issue", "other stock lengths"),
        "prepared": ("re-issue", "other stock lengths: pack the kit anew"),
        "drilled": ("re-issue", "other stock lengths: change the spokes before lacing"),
        "building": ("hold", "the wheel is laced with the old lengths: look at the threads"),
        "built": ("keep", "the wheel is built and was measured"),
    },
    "ended": {
        "waiting": ("keep", "held to its own edition: use up, where the stock is there"),
        "prepared": ("keep", "its parts are in the kit"),
        "drilled": ("keep", "its parts are in the kit"),
        "building": ("keep", "its parts are in the wheel"),
        "built": ("keep", "its parts are in the wheel"),
    },
    "relaxed": {
        "waiting": ("keep", "its sheet stays right; a new issue would carry the new figures"),
        "prepared": ("keep", "its sheet stays right"),
        "drilled": ("keep", "its sheet stays right"),
        "building": ("keep", "its sheet stays right"),
        "built": ("keep", "its record stays right"),
    },
}
"""How an order is touched -> how far it has come -> what to propose and why."""

_ENDED: Final = frozenset({"data.part-state", "finish.colour", "finish.hand"})


@dataclass(frozen=True, slots=True)
class Proposed:
    """One open order with what to do about it."""

    touched: Touched
    touches: tuple[Touch, ...]
    proposal: Proposal
    why: str


def proposed(touched: Touched, *, gone: bool) -> Proposed:
    """The gravest of what each touch asks for. ``gone``: in the new edition no sound wheel with the same
    rim and hub is left at a position of the order."""
    stage = STAGES.get(touched.order.state, "waiting")
    touches = _touches(touched, gone)
    rows = [(TABLE[each][stage], each) for each in touches]
    (proposal, why), _ = max(rows, key=lambda row: PROPOSALS.index(row[0][0]))
    first = next((each.says for each in touched.findings), "") or _figures_in_words(touched.moved)
    return Proposed(touched, touches, proposal, f"{why}. {first}".rstrip(". ") + ".")


def _touches(touched: Touched, gone: bool) -> tuple[Touch, ...]:
    found: list[Touch] = []
    blocks = [each for each in touched.findings if each.blocks]
    if any(each.code not in _ENDED for each in blocks):
        found.append("gone" if gone else "block")
    if any(each.code in _ENDED for each in blocks):
        found.append("ended")
    if any(each.severity == "approval" for each in touched.findings):
        found.append("release")
    if any(_lower(each) for each in touched.moved):
        found.append("lower-limit")
    if any(_other_size(each) for each in touched.moved):
        found.append("other-size")
    if any("stock_mm" in each.names for each in touched.moved):
        found.append("other-length")
    return tuple(found) or ("relaxed",)


def _lower(moved: Moved) -> bool:
    return moved.own is not None and moved.new is not None and moved.new.stop_n < moved.own.stop_n


def _other_size(moved: Moved) -> bool:
    return bool({"exact_mm", "program"} & set(moved.names))


def _figures_in_words(moved: tuple[Moved, ...]) -> str:
    """The figure that a builder notices first.

    >>> _figures_in_words(())
    ''
    """
    for each in moved:
        if each.own is None or each.new is None:
            continue
        own, new = each.own, each.new
        if own.stop_n != new.stop_n:
            return f"{each.position}: stop {own.stop_n:.0f} N becomes {new.stop_n:.0f} N"
        if own.stock_mm != new.stock_mm:
            left, right = own.stock_mm, new.stock_mm
            return f"{each.position}: lengths {left[0]}/{left[1]} become {right[0]}/{right[1]}"
        return f"{each.position}: other {', '.join(each.names)}"
    return ""
