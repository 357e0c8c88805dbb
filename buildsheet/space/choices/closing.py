"""Why a value can no longer be chosen: one finding for each, a check's own where one check decides it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from buildsheet.findings import Change, Finding, Value
from buildsheet.orders.reading import read_document
from buildsheet.space.choices.assortment import Assortment
from buildsheet.space.choices.codes import no_way_on
from buildsheet.space.choices.nearest import Detour, Nearest
from buildsheet.space.choices.part import ABOUT_WHEELS, Frame, Part
from buildsheet.space.choices.places import POSITIONS
from buildsheet.space.choices.ways import Counts, total_of
from buildsheet.space.choices.words import listed_in_words, place_in_words, value_in_words
from buildsheet.space.questions import Asking


class Closing:
    """What closes values at the open places of one part of an order."""

    def __init__(self, assortment: Assortment, part: Part, counts: Counts) -> None:
        self._assortment = assortment
        self._part = part
        self._open = frozenset(_whole(at) for at in counts.places)
        self._nearest = [Nearest(standing) for standing, _ in counts.standings]
        self._shelves = [s.shelf for s, ways in counts.standings if total_of(s, ways)]

    def finding(self, at: str, value: Value) -> Finding:
        """What closes this value at this place."""
        after = self._part.after(at, value)
        found = self._of_form(after) if at == "/kind" else None
        return found or self._of_check(at, after) or self._of_all(at, value, after)

    def standing(self) -> tuple[Finding, ...]:
        """What refuses the part as it stands: every block of every check whose members are decided."""
        found: dict[tuple[str, str], Finding] = {}
        for asking in self._assortment.askings:
            if not self._open.isdisjoint(asking.reads) or not any(
                map(self._part.has, asking.reads)
            ):
                continue
            finding = self._assortment.verdicts.finding(asking, self._part.value)
            if finding is not None:
                found.setdefault((finding.code, finding.at), finding)
        return tuple(found.values())

    # ---- one check ------------------------------------------------------------

    def _of_form(self, after: Part) -> Finding | None:
        """A wheel that is given already and that this kind of order does not have."""
        reading = read_document(after.document)
        return next(
            (
                replace(each, edition=self._assortment.edition.number)
                for each in reading.findings
                if each.code == ABOUT_WHEELS and after.has(each.at)
            ),
            None,
        )

    def _of_check(self, at: str, after: Part) -> Finding | None:
        for asking in self._bearing_on(_whole(at), after):
            finding = self._assortment.verdicts.finding(asking, after.value)
            if finding is not None:
                return finding
        return None

    def _bearing_on(self, at: str, after: Part) -> Iterator[Asking]:
        """The askings that read this place, and otherwise only what is decided."""
        still_open = self._open - ({at} if after.has(at) else frozenset())
        for asking in self._assortment.askings_by_place.get(at, ()):
            if still_open.isdisjoint(asking.reads):
                yield asking

    # ---- all together ---------------------------------------------------------

    def _of_all(self, at: str, value: Value, after: Part) -> Finding:
        position = at[1:].split("/", 1)[0]
        member = at.split("/", 2)[2] if position in POSITIONS else ""
        if position in POSITIONS and member not in ("nipple_colour", "driver"):
            detour = self._among_wheels(position, at, value)
            if detour is None or detour.conflicts:
                return self.no_way(at, value, detour)
        return self.no_way(at, value, self._round(at, after))

    def _among_wheels(self, position: str, at: str, value: Value) -> Detour | None:
        """The way round for a member of a wheel: the wheels that have it are looked at."""
        best: Detour | None = None
        for nearest in self._nearest:
            for columns in nearest.standing.shelf.columns:
                if columns.position != position:
                    continue
                rows = nearest.standing.shelf.rows[columns.position]
                detour = nearest.detour(columns, columns.having(at, value)[rows])
                best = shorter(best, detour)
        return best

    def _round(self, at: str, after: Part) -> Detour | None:
        """The way round for any other value: the wheels of an order that asks for it are looked at, in
        the kinds of order still open one after another until a single change clears the way."""
        best: Detour | None = None
        for nearest in self._nearest:
            frame = nearest.standing.shelf.frame
            if frame not in after.frames or not nearest.standing.shelf.asks(at):
                continue
            best = shorter(best, detour_of(nearest.after(at, after), asked=at))
            if best is not None and (best.single or not self._chosen(frame)):
                break
        return best

    def _chosen(self, frame: Frame) -> bool:
        """Whether the part has chosen anything that could be chosen otherwise."""
        shelf = self._assortment.shelf(frame)
        wheels = (f"/{columns.position}" for columns in shelf.columns)
        return any(map(self._part.says, ("/use/brake", *shelf.asked, *wheels)))

    def _unasked(self, at: str, value: Value) -> bool:
        """Whether orders are left that need no such member (rotors beside rim brakes): they may name it."""
        frames = self._part.after(at, value).frames
        return any(each.frame in frames and not each.asks(at) for each in self._shelves)

    def no_way(self, at: str, value: Value, detour: Detour | None) -> Finding:
        """The finding that a value leads nowhere, with the way round where one is known."""
        edition = self._assortment.edition.number
        if not at:
            says = f"No order of this kind can be built from edition {edition}, whatever its parts."
            return no_way_on(at, says, edition=edition, have={})
        what = f"{place_in_words(at).capitalize()} {value_in_words(value)}"
        if detour is None:
            says = f"{what} goes into no wheel that edition {edition} can build. Take another."
            return no_way_on(at, says, edition=edition, have={"value": value})
        places = tuple(each for each in detour.conflicts if each != at and self._part.says(each))
        beside: dict[str, Value] = {each: self._part.value(each) for each in places}
        named = [f"{place_in_words(each)} {value_in_words(beside[each])}" for each in places]
        together = f" beside {listed_in_words(named)}" if named else ""
        asking = f" that asks for a {place_in_words(at)}" if self._unasked(at, value) else ""
        example = f" Nearest miss: {detour.example.says}" if detour.example else " Take another."
        finding = no_way_on(
            at,
            f"{what} leads to no complete order{asking}{together}.{example}",
            edition=edition,
            have={"value": value, "beside": beside},
            need={each: list(values) for each, values in detour.single.items()},
            also=places,
        )
        return with_way(finding, detour)


def with_way(finding: Finding, detour: Detour) -> Finding:
    """The finding with the changes that clear the way: single ones, else one set made at once."""
    single = tuple(Change(at, values) for at, values in detour.single.items())
    together = (detour.together,) if detour.together and not single else ()
    return replace(finding, try_=single, together=together)


def detour_of(nearest: Nearest, asked: str | None = None) -> Detour:
    """The way round for an order as it stands: by the first wheel that cannot be had, else by whatever
    single place would clear the way. The place ``asked`` about is no way round itself."""
    best: Detour | None = None
    for columns in nearest.standing.shelf.columns:
        if not nearest.meets_all(columns):
            best = shorter(best, nearest.detour(columns, nearest.having(columns, asked)))
    if best is None and asked is not None:
        refused = nearest.refused_by_lists(asked)
        if refused is not None:
            return Detour((), example=refused)
    others = _lists_instead(nearest, asked, best)
    if best is None:
        return Detour(tuple(others), others)
    return replace(
        best, conflicts=best.conflicts or tuple(others), single={**best.single, **others}
    )


def _lists_instead(
    nearest: Nearest, asked: str | None, wheel: Detour | None
) -> dict[str, tuple[Value, ...]]:
    """Places with a list, beside the wheels' builds, where another value alone would clear the way.

    Where it is a ``wheel`` that cannot be had beside what is ``asked``, only places that this wheel
    conflicts with are tried.
    """
    standing, found = nearest.standing, {}
    lists = standing.layout.lists
    given = [at for at in lists if at != asked and standing.part.has(at)]
    if asked is not None and wheel is not None:
        given = [at for at in given if at in wheel.conflicts]
    for at, instead in standing.lists_instead(given).items():
        clears = tuple(
            value for value, ways in zip(lists[at], instead.tolist(), strict=True) if ways
        )
        if clears:
            found[at] = clears
    return found


def shorter(one: Detour | None, other: Detour | None) -> Detour | None:
    """The shorter way round of the two; the first where they are alike."""
    ranked = [each for each in (one, other) if each is not None]
    return min(ranked, key=_length, default=None)


def _length(detour: Detour) -> tuple[int, int]:
    if detour.single:
        return 0, 0
    if detour.together:
        return 1, len(detour.together)
    return (2, len(detour.conflicts)) if detour.conflicts else (3, 0)


def _whole(at: str) -> str:
    """The place that checks read: a pattern as a whole, whichever side is still open."""
    pattern, _, side = at.rpartition("/")
    return pattern if pattern.endswith("/crossings") and side in ("left", "right") else at
