"""The few conversions against their definitions."""

import pytest

from buildsheet.units import (
    NEWTON_PER_KGF,
    PSI_PER_BAR,
    SPOKE_THREAD_PITCH_MM,
    down_to_step,
    kgf,
    psi,
)


def test_a_kilogram_force_is_the_standard_acceleration_times_a_kilogram():
    # Standard gravity, 3rd CGPM 1901: 9.80665 m/s2 exactly. From memory; the value is universal.
    assert NEWTON_PER_KGF == 9.80665
    assert kgf(981.0) == pytest.approx(100.03, abs=0.005)


def test_a_bar_in_pounds_per_square_inch_follows_from_pound_inch_and_gravity():
    # Pound 0.45359237 kg and inch 25.4 mm exactly, international agreement of 1959. From memory.
    pound_force_n = 0.45359237 * 9.80665
    inch_m = 0.0254
    assert pytest.approx(100_000.0 * inch_m**2 / pound_force_n, rel=1e-12) == PSI_PER_BAR
    # The hookless limit is printed as 5 bar = 72.5 psi (trade press quoting ETRTO; second-hand).
    assert psi(5.0) == pytest.approx(72.5, abs=0.05)


def test_a_spoke_thread_has_fifty_six_turns_to_the_inch():
    # Thread tables citing DIN 79012 print a pitch of 0.454 mm; second-hand, half the last digit.
    assert pytest.approx(0.454, abs=0.0005) == SPOKE_THREAD_PITCH_MM


@pytest.mark.parametrize(
    ("value", "step", "down"),
    [
        (1212.5, 10.0, 1210.0),
        (1210.0, 10.0, 1210.0),
        (1209.999, 10.0, 1200.0),
        (1164.0, 10.0, 1160.0),
    ],
)
def test_a_limit_is_never_rounded_up(value: float, step: float, down: float):
    assert down_to_step(value, step) == down
