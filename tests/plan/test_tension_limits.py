"""Whose limit sets the tension: the lowest maker's, and a radial flange has one of its own."""

from __future__ import annotations

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.plan.assembly import Assembly
from buildsheet.plan.tension import UnknownLimit, limits
from buildsheet.wheel.spec import Sides


def _front(edition: Edition, left: int, right: int, **hub: float | None) -> Assembly:
    """A rim-brake front wheel on a rim that carries more than its hub."""
    spoke = edition.spokes["SJ18"]
    return Assembly(
        position="front",
        rim=edition.rims["OR38R"].model_copy(update={"spoke_limit_n": 1450.0}),
        holes=20,
        hub=edition.hubs["KF1"].model_copy(update=hub),
        spokes=Sides(spoke, spoke),
        crossings=Sides(left, right),
        nipple=edition.nipples["NB12"],
        nipple_colour="black",
    )


@pytest.mark.parametrize(("left", "right"), [(0, 0), (0, 2), (2, 0)])
def test_one_radial_flange_is_enough_for_the_radial_limit(
    demo_edition: Edition, left: int, right: int
) -> None:
    lowest = limits(_front(demo_edition, left, right))[0]
    assert (lowest.kind, lowest.limit_n) == ("hub", 1200.0)


def test_two_crossed_flanges_have_the_crossed_limit(demo_edition: Edition) -> None:
    assert limits(_front(demo_edition, 2, 2))[0].limit_n == 1400.0


def test_beside_a_radial_flange_the_crossed_one_keeps_a_lower_limit(demo_edition: Edition) -> None:
    assert limits(_front(demo_edition, 0, 2, spoke_limit_n=1100.0))[0].limit_n == 1100.0


def test_a_hub_that_is_silent_about_a_crossed_flange_gives_no_tension(
    demo_edition: Edition,
) -> None:
    with pytest.raises(UnknownLimit, match="KF1"):
        limits(_front(demo_edition, 0, 2, spoke_limit_n=None))
