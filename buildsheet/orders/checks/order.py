"""The order as a paper: market, manual, the edition it was made with, its note."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.findings import Value
from buildsheet.orders.posted import Posted
from buildsheet.orders.raised import Raised


def market(order: Posted) -> Iterator[Raised]:
    """The market is served, with a manual in its language."""
    code = order.draft.word("market")
    if code is None:
        return
    served: list[Value] = [*order.house.markets]
    papers = order.house.markets.get(code)
    if papers is None:
        yield order.found(
            "order.market",
            "block",
            "/market",
            f"Market {code} is not served: there is no manual and no label for it, only for "
            f"{', '.join(order.house.markets)}.",
            have={"market": code},
            need={"market": served},
            ways=("/market",),
        )
        return
    if papers.label:
        yield order.found(
            "order.papers",
            "note",
            "/market",
            f"Market {code}: manual {papers.manual_edition} in {papers.manual_language}; the label "
            f"bears {papers.label}.",
            have={"market": code},
            need={"manual": papers.manual_edition, "language": papers.manual_language},
        )


def edition_seen(order: Posted) -> Iterator[Raised]:
    """The order was made with the edition that it is now held to."""
    seen, now = order.draft.whole("edition_seen"), order.edition.number
    if seen is not None and seen != now:
        yield order.found(
            "order.edition-seen",
            "caution",
            "/edition_seen",
            f"Edition changed: the order was made with {seen}, it is held to {now}. Look at the plan "
            f"again, then state {now}.",
            have={"edition": seen},
            need={"edition": now},
            ways=("/edition_seen",),
        )


def rotors(order: Posted) -> Iterator[Raised]:
    """Disc bicycles say how their rotors mount; rim-brake bicycles have none."""
    brake = order.use.word("brake")
    if brake == "disc" and not order.use.has("rotor_mount"):
        if not order.is_told("/use/rotor_mount"):
            yield order.found(
                "order.missing-member",
                "block",
                "/use/rotor_mount",
                "Member rotor_mount is missing: say how the rotors mount, splined or six-bolt.",
                have={"rotor_mount": None},
                need={"one_of": ["splined", "six-bolt"]},
                ways=("/use/rotor_mount",),
            )
    elif brake == "rim" and order.use.word("rotor_mount") not in (None, "none"):
        yield order.found(
            "order.unused-member",
            "caution",
            "/use/rotor_mount",
            "The bicycle has rim brakes, so its rotor mount is not looked at. Leave it out, or "
            "correct the brake.",
            have={"rotor_mount": order.use.word("rotor_mount")},
            also=("/use/brake",),
            ways=("/use/rotor_mount",),
        )


def note(order: Posted) -> Iterator[Raised]:
    """Somebody reads what the order says in its own words."""
    text = order.draft.word("note")
    if text and text.strip():
        yield order.found(
            "order.note",
            "note",
            "/note",
            "The order carries a note. It is printed for people; none of it was checked.",
            have={"characters": len(text)},
        )


ORDER_CHECKS = (market, edition_seen, rotors, note)
