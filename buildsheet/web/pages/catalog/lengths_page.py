"""The spoke lengths to stock, of the running edition or of the draft."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, render_template, request
from markupsafe import Markup

from buildsheet.actions.desk.draft import the_draft
from buildsheet.actions.desk.lengths import ORDER_POINT, WEIGHING, Lengths
from buildsheet.actions.desk.show_lengths import known_lengths
from buildsheet.actions.editions import running_edition
from buildsheet.web.workshop_here import workshop_here


@dataclass(frozen=True, slots=True)
class Against:
    """One spoke type in the draft beside the running edition: lengths that come and that die."""

    added_mm: tuple[int, ...]
    dropped_mm: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """The lengths one spoke type is listed with, and the part of them from the first to the last that some
    wheel can take; None where no wheel takes any."""

    count: int
    from_mm: int
    to_mm: int
    useful_mm: tuple[int, int] | None

    @property
    def is_too_long(self) -> bool:
        """Whether the list could begin later or end earlier."""
        return self.useful_mm not in (None, (self.from_mm, self.to_mm))


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/lengths")(lengths_page)


def lengths_page() -> str:
    """The fewest lengths of every spoke type, as pictures and as lists."""
    workshop = workshop_here()
    edition = running_edition(workshop)
    draft = the_draft(workshop)
    of_draft = request.args.get("of") == "draft" and draft is not None
    shown = draft.edition if of_draft and draft else edition
    free = request.args.get("grid") == "1"
    lengths = known_lengths(shown, free=free) if shown else None
    return render_template(
        "catalog/lengths.html",
        lengths=lengths,
        charts=_charts(lengths),
        listed=_listed(lengths),
        against=_against(known_lengths(edition, free=free), lengths) if of_draft else {},
        edition=shown,
        draft=draft,
        of_draft=of_draft,
        free=free,
        order_point=ORDER_POINT,
        weighing=WEIGHING,
    )


def _charts(lengths: Lengths | None) -> dict[str, Markup]:
    if lengths is None:
        return {}
    # The picture is made of numbers and of our own words; it comes from no one else.
    return {spoke: Markup(lengths.chart(spoke)) for spoke in lengths.plan.types}  # noqa: S704


def _listed(lengths: Lengths | None) -> dict[str, Listed]:
    found = {}
    for spoke, shelf in lengths.shelves.items() if lengths else ():
        useful = [each for each in shelf.stocked_mm if each not in shelf.dead_mm]
        found[spoke] = Listed(
            len(shelf.stocked_mm),
            shelf.stocked_mm[0],
            shelf.stocked_mm[-1],
            (useful[0], useful[-1]) if useful else None,
        )
    return found


def _against(old: Lengths, new: Lengths | None) -> dict[str, Against]:
    if new is None:
        return {}
    found = {}
    for spoke in sorted({*old.plan.types, *new.plan.types}):
        before = set(old.plan.types[spoke].lengths_mm) if spoke in old.plan.types else set()
        after = set(new.plan.types[spoke].lengths_mm) if spoke in new.plan.types else set()
        found[spoke] = Against(tuple(sorted(after - before)), tuple(sorted(before - after)))
    return found
