"""An order over one edition: what its codes name, and what follows from them, as far as it is known.

Nothing here judges. A part that the order does not name, or that the catalog does not know, is None;
the finding for that stands elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import copy
from functools import cached_property
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.house import House
from buildsheet.catalog.parts import Driver, Hub, Nipple, Part, Position, Rim, Spoke, Washer
from buildsheet.catalog.rules.rule import Fact
from buildsheet.catalog.rules.wheel_facts import Facts, wheel_facts
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Severity, Value
from buildsheet.orders.codes import found
from buildsheet.orders.document import positions_of
from buildsheet.orders.facts import (
    finish_facts,
    order_facts,
    plan_facts,
    use_at_wheel,
    use_facts,
)
from buildsheet.orders.members import Members
from buildsheet.orders.raised import Raised
from buildsheet.plan.assembly import Assembly
from buildsheet.plan.build import Computed, compute
from buildsheet.wheel.spec import SIDES, Side, Sides

POSITIONS: Final[tuple[Position, Position]] = ("front", "rear")

SAME = 1e-9
"""Figures of the catalog are decimal; two that are equal on paper must not differ in their last bit."""


class PostedWheel:
    """One position of the order, its parts looked up and its geometry computed on demand."""

    def __init__(self, position: Position, order: Posted, members: Members) -> None:
        self.position = position
        self.order = order
        self.members = members
        self.edition: Edition = order.edition
        self.house: House = order.edition.house
        self.use: Members = order.use
        self.at = "/" + position
        self.holes = members.whole("holes")
        edition = order.edition
        self.rim: Rim | None = edition.rims.get(members.word("rim") or "")
        self.hub: Hub | None = edition.hubs.get(members.word("hub") or "")
        self.nipple: Nipple | None = edition.nipples.get(members.word("nipple") or "")
        self.washer: Washer | None = edition.washers.get(members.word("washer") or "")
        self.driver: Driver | None = edition.drivers.get(members.word("driver") or "")
        spoke = members.inner("spoke")
        self.spokes: Sides[Spoke | None] = Sides(
            left=edition.spokes.get(spoke.word("left") or ""),
            right=edition.spokes.get(spoke.word("right") or ""),
        )

    @property
    def other(self) -> str:
        """The name of the other position."""
        return "rear" if self.position == "front" else "front"

    @property
    def axle(self) -> str | None:
        """What the bicycle wants at this end."""
        return self.use.word(f"{self.position}_axle")

    @cached_property
    def crossings(self) -> Sides[int] | None:
        """The pattern asked for; None where the order names none."""
        asked = self.members.inner("crossings")
        left, right = asked.whole("left"), asked.whole("right")
        return None if left is None or right is None else Sides(left, right)

    @property
    def straight_pull(self) -> bool:
        """True where the hub is known to seat straight-pull spokes."""
        return self.hub is not None and self.hub.left_seats is not None

    @cached_property
    def counts(self) -> Sides[int] | None:
        """Spokes of each side, where rim and holes are known and the rim is drilled that way."""
        if self.rim is None or self.holes is None:
            return None
        steep_right = self.position == "rear" or self.rim.brake == "rim"
        if self.rim.split == "1:1":
            return Sides(self.holes // 2, self.holes - self.holes // 2)
        many, few = self.holes - self.holes // 3, self.holes // 3
        return Sides(few, many) if steep_right else Sides(many, few)

    def spoke_types(self) -> Iterator[tuple[str, Spoke, tuple[Side, ...]]]:
        """Each spoke type with its place and sides: once where both sides have the same."""
        left, right = self.spokes.left, self.spokes.right
        if left is not None and left is right:
            yield "spoke", left, SIDES
            return
        if left is not None:
            yield "spoke/left", left, ("left",)
        if right is not None:
            yield "spoke/right", right, ("right",)

    @cached_property
    def assembly(self) -> Assembly | None:
        """The wheel as parts, where all are known and can be joined by spokes at all."""
        rim, hub, nipple, holes = self.rim, self.hub, self.nipple, self.holes
        left, right = self.spokes.left, self.spokes.right
        if rim is None or hub is None or nipple is None or holes is None:
            return None
        if left is None or right is None or not self._joins(rim, hub, left, right, holes):
            return None
        crossings = None if self.straight_pull else self.crossings
        if crossings is None and not self.straight_pull:
            return None
        return Assembly(
            position=self.position,
            rim=rim,
            holes=holes,
            hub=hub,
            spokes=Sides(left, right),
            crossings=crossings,
            nipple=nipple,
            nipple_colour=self.members.word("nipple_colour") or "",
            washer=self.washer,
            driver=self.driver,
            axle=self.axle,
        )

    def _joins(self, rim: Rim, hub: Hub, left: Spoke, right: Spoke, holes: int) -> bool:
        head = "straight-pull" if self.straight_pull else "j-bend"
        washer_known = self.washer is not None or not self.members.has("washer")
        return (
            holes in rim.holes
            and holes in hub.holes
            and rim.split == hub.split
            and rim.spacing == hub.spacing == "even"
            and left.head == right.head == head
            and hub.position == self.position
            and washer_known
        )

    @cached_property
    def outcome(self) -> Computed | CannotCompute | CannotLace | None:
        """The computed wheel, or why it cannot be computed; None where its parts are not known."""
        if self.assembly is None:
            return None
        try:
            return compute(self.assembly, self.edition)
        except (CannotCompute, CannotLace) as error:
            return error

    @property
    def computed(self) -> Computed | None:
        """The computed wheel, where there is one."""
        return self.outcome if isinstance(self.outcome, Computed) else None

    def in_order(self, order: Posted) -> PostedWheel:
        """The same wheel in an order that says other masses and nothing else: what follows from its parts
        is kept."""
        other = copy(self)
        other.order, other.use = order, order.use
        for name in ("facts", "planned_facts"):
            vars(other).pop(name, None)
        return other

    @cached_property
    def facts(self) -> Facts:
        """What rules can read of this wheel, without what has to be computed."""
        own, at_wheel = self._own_facts
        return Facts(own.parts, {**own.plain, **self.order.facts, **at_wheel})

    @cached_property
    def _own_facts(self) -> tuple[Facts, dict[str, Fact]]:
        """The facts of this wheel alone; and those of them that go before what the order says."""
        left, right = self.spokes.left, self.spokes.right
        parts: dict[str, Part | None] = {
            "rim": self.rim,
            "hub": self.hub,
            "left_spoke": left,
            "right_spoke": right,
            "nipple": self.nipple,
            "washer": self.washer,
            "driver": self.driver,
        }
        if left is not None and left is right:
            parts["spoke"] = left
        counts, crossings = self.counts, self.crossings
        own = wheel_facts(
            position=self.position,
            holes=self.holes,
            parts=parts,
            counts=(counts.left, counts.right) if counts else None,
            crossings=(crossings.left, crossings.right) if crossings else (None, None),
            nipple_colour=self.members.word("nipple_colour"),
            has_washer=self.members.has("washer"),
        )
        at_wheel = {
            **use_at_wheel(self.use, self.position),
            **finish_facts(self.order.finish, self.position, self.rim),
        }
        return Facts(parts, {**own, **at_wheel}), at_wheel

    @cached_property
    def planned_facts(self) -> Facts:
        """The same with what is computed, where the wheel can be computed."""
        planned = plan_facts(self.computed) if self.computed is not None else {}
        return self.facts.with_plain(planned)

    def found(
        self,
        code: str,
        severity: Severity,
        at: str,
        says: str,
        *,
        have: Mapping[str, Value] | None = None,
        need: Mapping[str, Value] | None = None,
        also: tuple[str, ...] = (),
        ways: tuple[str, ...] = (),
    ) -> Raised:
        """A finding about this wheel. Places are members of the wheel unless they begin with '/';
        '' is the wheel itself."""
        finding = found(
            code,
            severity,
            self.place(at),
            says,
            have=have,
            need=need,
            also=tuple(self.place(each) for each in also),
            edition=self.edition.number,
        )
        return Raised(finding, tuple(self.place(each) for each in ways))

    def unknown(self, at: str, part: Part, attribute: str, why: str) -> Raised:
        """The block for a part that does not say what a check needs."""
        return self.found(
            "data.fact-missing",
            "block",
            at,
            f"{part.code} does not say its {attribute}: {why} cannot be judged. "
            "Have it measured or released, or take another part.",
            have={"part": part.code, "missing": attribute},
            ways=(at,),
        )

    def place(self, at: str) -> str:
        """The JSON Pointer of a member of this wheel."""
        if at.startswith("/"):
            return at
        return f"{self.at}/{at}" if at else self.at


class Posted:
    """The whole order over one edition. Its wheels are those that its kind has and it gives.

    ``told`` are the places whose absence already has a finding.
    """

    def __init__(
        self, draft: Mapping[str, Value], edition: Edition, told: frozenset[str] = frozenset()
    ) -> None:
        self.draft = Members(draft)
        self._told = told
        self.edition = edition
        self.house: House = edition.house
        self.use = self.draft.inner("use")
        self.finish = self.draft.inner("finish")
        self.kind = self.draft.word("kind")
        wanted = positions_of(self.kind) if self.kind else {"front", "rear"}
        given = {each: self.draft.inner(each) for each in POSITIONS if each in wanted}
        self._given = {each: members for each, members in given.items() if members.values}
        self._wheels: dict[str, PostedWheel] = {}

    def with_masses(self, draft: Mapping[str, Value], told: frozenset[str]) -> Posted:
        """The order that a draft says which differs from this one's in `MASSES` alone, if at all."""
        other = Posted(draft, self.edition, told)
        other._wheels = {at: wheel.in_order(other) for at, wheel in self._wheels.items()}
        return other

    @property
    def positions(self) -> tuple[Position, ...]:
        """Where the order has a wheel."""
        return tuple(self._given)

    @property
    def wheels(self) -> tuple[PostedWheel, ...]:
        """The order's wheels, the front one first."""
        return tuple(each for at in POSITIONS if (each := self.wheel(at)) is not None)

    def wheel(self, position: str) -> PostedWheel | None:
        """The wheel at that position, if the order has one; looked up when it is first asked for."""
        wheel = self._wheels.get(position)
        if wheel is None and position in self._given:
            at: Position = "front" if position == "front" else "rear"
            wheel = self._wheels[position] = PostedWheel(at, self, self._given[at])
        return wheel

    def is_told(self, at: str) -> bool:
        """Whether that place, or an object around it, already has a finding about its form."""
        return any(at == each or at.startswith(each + "/") for each in self._told)

    @property
    def pair(self) -> tuple[PostedWheel, PostedWheel] | None:
        """Front and rear, where both are given."""
        front, rear = self.wheel("front"), self.wheel("rear")
        return (front, rear) if front is not None and rear is not None else None

    @cached_property
    def facts(self) -> dict[str, Fact]:
        """What rules can read of the order as a whole."""
        return {
            **order_facts(self.draft),
            **use_facts(self.use, self.system_kg),
            **finish_facts(self.finish, None, None),
        }

    @cached_property
    def system_kg(self) -> float | None:
        """Rider, bicycle and luggage together, where all three are known."""
        masses = [self.use.number(name) for name in MASSES]
        known = [each for each in masses if each is not None]
        return sum(known) if len(known) == len(masses) else None

    def found(
        self,
        code: str,
        severity: Severity,
        at: str,
        says: str,
        *,
        have: Mapping[str, Value] | None = None,
        need: Mapping[str, Value] | None = None,
        also: tuple[str, ...] = (),
        ways: tuple[str, ...] = (),
    ) -> Raised:
        """A finding about the order as a whole; places are JSON Pointers."""
        finding = found(
            code, severity, at, says, have=have, need=need, also=also, edition=self.edition.number
        )
        return Raised(finding, ways)


MASSES = ("rider_kg", "bike_kg", "luggage_kg")
"""What makes up the system mass, in the members of ``use``."""
