"""M. Ford, Reinventing the Wheel: Stress Analysis, Stability, and Optimization of the Bicycle Wheel, PhD
thesis, Northwestern University, December 2018 (a working draft without page numbers; chapters named)."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from buildsheet.wheel import structure
from buildsheet.wheel.length import axial_stiffness_n
from buildsheet.wheel.spec import SpokeSection, SpokeSideSpec
from buildsheet.wheel.structure import Load
from buildsheet.wheel.structure import closed_forms as forms
from tests.published.published_case import Case, relative
from tests.published.published_wheels import library_wheel, research_wheel

THESIS = "Ford 2018"


def _lateral_series(mean_n: float) -> float:
    layout = structure.solve(research_wheel(300.0)).layout.tensioned(mean_n)
    tbar, smeared = forms.tbar_n_per_mm(layout), forms.smeared(layout)
    radius = layout.section.radius_mm
    bracing = pi * radius * (smeared.k_uu + smeared.tension_uu * tbar)
    return forms.lateral_stiffness_series(radius, 219e6, 26.3e6, bracing, tbar)


def _discrete_ratio() -> float:
    tight = structure.solve(research_wheel(1067.0)).figures.lateral_stiffness_n_per_mm
    return tight / structure.solve(research_wheel(250.0)).figures.lateral_stiffness_n_per_mm


def _share_of_load(away: int) -> float:
    answer = structure.solve(research_wheel(1000.0))
    change = answer.under([Load(at_hole=10, radial_n=100.0)]).spoke_change_n
    return float(-(change[9 - away] + change[9 + away]) / 2.0) / 100.0


def _effective_ea_kn() -> float:
    ends, middle = pi / 4.0 * 1.99**2, pi / 4.0 * 1.72**2
    sections = (SpokeSection(ends, 71.0 / 276.0), SpokeSection(middle, 205.0 / 276.0))
    return axial_stiffness_n(SpokeSideSpec(18, 0, sections, 210.0)) / 1e3


def _mode_two_stiffness() -> float:
    return 16.0 / forms.four_point_deflection_mm(304.0, 26.3e6 / 0.120, 26.3e6, 1.0)


CASES = (
    Case(
        "lateral stiffness of the modern deep wheel, by waves in series",
        f"{THESIS}, table of example wheels",
        "read",
        121.0,
        "N/mm",
        lambda: forms.lateral_stiffness_series(305.0, 206e6, 94e6, 304.0),
        1.0,
        "printed without decimals, and its inputs to three digits",
        "pi R k_uu = 304 N/mm is fed as printed: it cannot be had again from the spokes the table names.",
    ),
    Case(
        "stiffness of the 700C double-wall rim against two waves",
        f"{THESIS}, appendix on the four-point test",
        "read",
        71.0,
        "N/mm",
        _mode_two_stiffness,
        1.0,
        "printed without decimals, from GJ and mu printed to three digits",
    ),
    Case(
        "axial stiffness of the research wheel's butted spoke",
        f"{THESIS}, appendix on the standard wheel (521 to 522 printed)",
        "read",
        521.5,
        "kN",
        _effective_ea_kn,
        1.0,
        "the source prints both 521 and 522",
    ),
    Case(
        "lateral stiffness at 1067 N over that at 250 N, discrete spokes",
        f"{THESIS}, appendix on the standard wheel: 76.5 measured against 95.5 N/mm",
        "read",
        0.80,
        "",
        _discrete_ratio,
        0.03,
        "a measurement, printed to three digits; the tension of its upper figure is not stated",
        "The absolute stiffness measures 13 to 20 % below any theory: loose elbows gave 35 % less bracing "
        "than straight bars, as the thesis itself reports. The ratio is free of that.",
    ),
    Case(
        "lateral stiffness at 1067 N, by waves in series, against the measurement",
        f"{THESIS}, appendix on the standard wheel",
        "read",
        76.5,
        "N/mm",
        lambda: _lateral_series(1067.0),
        relative(76.5, 0.20),
        "theory reads 13 to 20 % above the measurement (see the row above); a band, not a match",
        "Known to be off: the rig's spokes braced 35 % less than bars (loose elbows).",
    ),
    Case(
        "share of a radial load taken from the nearest spoke",
        f"{THESIS}, chapter on radial loads",
        "read",
        0.44,
        "of the load",
        lambda: _share_of_load(0),
        0.04,
        "quoted for a wheel not named; light aluminium rims with 36 spokes lie between 0.40 and 0.45",
    ),
    Case(
        "share taken from each neighbour",
        f"{THESIS}, chapter on radial loads",
        "read",
        0.24,
        "of the load",
        lambda: _share_of_load(1),
        0.015,
        "as above: 0.235 to 0.255",
    ),
    Case(
        "share taken from the next ones",
        f"{THESIS}, chapter on radial loads",
        "read",
        0.03,
        "of the load",
        lambda: _share_of_load(2),
        0.02,
        "as above: 0.02 to 0.05",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_printed_figure_is_met(case: Case) -> None:
    assert abs(case.difference()) <= case.within


def test_more_tension_makes_the_wheel_slightly_softer_sideways() -> None:
    stiffness = [
        structure.solve(research_wheel(tension)).figures.lateral_stiffness_n_per_mm
        for tension in (200.0, 400.0, 600.0, 800.0, 1000.0)
    ]
    assert stiffness == sorted(stiffness, reverse=True)
    assert 0.75 < stiffness[-1] / stiffness[0] < 1.0


def test_the_lateral_stiffness_never_passes_the_rigid_rim_bound() -> None:
    """K_lat <= (2/3) pi R k_uu [Ford 2018, chapter on lateral loads; read]."""
    for name in ("vintage road", "modern road", "tandem"):
        answer = structure.solve(library_wheel(name))
        bound = 2.0 / 3.0 * pi * answer.layout.section.radius_mm * forms.smeared(answer.layout).k_uu
        assert answer.figures.lateral_stiffness_n_per_mm < bound


def test_tension_takes_lateral_stiffness_as_the_reference_wheel_says() -> None:
    """K_lat(T) is about K_lat(0)(1 - T/T_c) [Ford 2018; read, called rough there]. Own finite elements
    gave 69.6, 56.4 and 36.1 of 78.2 N/mm at a quarter, half and three quarters of the series' T_c of
    1528 N [own calculation]; printed to three digits, so within 0.5 %."""
    bare = structure.solve(library_wheel("vintage road")).figures.lateral_stiffness_n_per_mm
    for share, printed in ((0.25, 69.6), (0.5, 56.4), (0.75, 36.1)):
        spec = library_wheel("vintage road", share * 1528.0)
        now = structure.solve(spec).figures.lateral_stiffness_n_per_mm
        assert now == pytest.approx(printed, rel=0.005)
        assert now / bare > 1.0 - share


def test_slack_loads_follow_the_closed_forms() -> None:
    """P = K T / (K_s c) [Ford 2018, chapter on external loads; read]: exact where the loaded spoke is
    the one that goes slack, since its change of force is its stiffness times the rim's movement."""
    answer = structure.solve(research_wheel(1000.0))
    spoke = answer.layout.stiffness_n_per_mm[0]
    c1, c2 = abs(answer.layout.direction[0, 0]), abs(answer.layout.direction[0, 1])
    side = forms.slack_load_n(answer.figures.lateral_stiffness_n_per_mm, 1000.0, spoke, c1)
    radial = forms.slack_load_n(answer.figures.radial_stiffness_n_per_mm, 1000.0, spoke, c2)
    # 8 %: the gate for discrete against smeared spokes; the closed form leaves out that a side load
    # moves the rim radially too, and the other way about
    assert answer.figures.slack_side_load_n == pytest.approx(side, rel=0.08)
    assert answer.figures.slack_load_n == pytest.approx(radial, rel=0.08)


def test_a_push_on_the_whole_side_changes_every_spoke_alike() -> None:
    """dT = P/(n_s c1) for an axisymmetric push, hub shift P/(2 pi R k_uu); 579.2 N and 3.20 mm for
    2000 N [own calculation on the inputs of Ford 2018's standard wheel]. The shift is that of a rim
    that does not bend between left and right spokes, so the rim's own bending is made stiff for it."""
    layout = structure.solve(research_wheel()).layout
    unbent = replace(layout.section, radial_bending_nmm2=1e6 * layout.section.radial_bending_nmm2)
    for section, shift in ((layout.section, None), (unbent, 3.20)):
        answer = structure.solve_layout(replace(layout, section=section))
        loads = [Load(hole, lateral_n=2000.0 / layout.count) for hole in range(1, layout.count + 1)]
        response = answer.under(loads)
        change = abs(response.spoke_change_n)
        assert change == pytest.approx(change[0], rel=1e-9)
        assert change[0] == pytest.approx(579.2, abs=0.2)  # width/length printed to four digits
        if shift is not None:
            assert response.lateral_mm[0] == pytest.approx(shift, abs=0.005)


def test_one_turn_of_every_nipple_raises_the_tension_as_stretch_and_rim_say() -> None:
    """0.529 mm/kN spoke stretch + 0.242 mm/kN rim shrink: 589 N a turn [own calculation]."""
    rise = structure.solve(research_wheel()).influence().tension_n.sum(axis=1)
    assert rise == pytest.approx(589.0, rel=0.005)  # both parts printed to three digits


def test_the_stretch_of_a_kilonewton_is_that_of_the_worked_example() -> None:
    """Spoke stretch 0.529 mm and rim shrink 0.241 mm per kN [own calculation on the same wheel]."""
    layout = structure.solve(research_wheel(1000.0)).layout
    assert 1000.0 / layout.stiffness_n_per_mm[0] == pytest.approx(0.529, abs=0.001)
    shrink = layout.section.radius_mm**2 * forms.tbar_n_per_mm(layout) / layout.section.axial_n
    assert shrink == pytest.approx(0.241, abs=0.001)
