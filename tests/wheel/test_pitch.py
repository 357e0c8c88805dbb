"""Notes and pitches, and turning back from pitch to tension."""

from __future__ import annotations

import pytest

from buildsheet.errors import CannotCompute
from buildsheet.wheel.pitch import (
    Ends,
    Wire,
    frequency_hz,
    nearest_note,
    round_wire,
    spoke_pitch,
    string_hz,
    tension_from_pitch_n,
)
from buildsheet.wheel.spec import SpokeSection, SpokeSideSpec

ENDS: tuple[Ends, ...] = ("ideal", "pinned", "clamped")


@pytest.mark.parametrize("ends", ENDS)
@pytest.mark.parametrize("pull_n", [1.0, 50.0, 1000.0, 3000.0])
def test_pitch_and_back_gives_the_tension(ends: Ends, pull_n: float) -> None:
    wire = round_wire(2.0, 193.0, 7900.0)
    pitch = frequency_hz(290.0, pull_n, wire, ends)
    assert tension_from_pitch_n(pitch, 290.0, wire, ends) == pytest.approx(pull_n, rel=1e-6)


@pytest.mark.parametrize("ends", ENDS)
def test_a_wire_without_stiffness_is_an_ideal_string_however_its_ends_are_held(ends: Ends) -> None:
    limp = Wire(0.02)
    assert frequency_hz(290.0, 1000.0, limp, ends) == string_hz(290.0, 1000.0, 0.02)
    assert tension_from_pitch_n(300.0, 290.0, limp, ends) == tension_from_pitch_n(
        300.0, 290.0, limp, "ideal"
    )


def test_stiffness_and_clamping_raise_the_pitch() -> None:
    wire = round_wire(2.0, 193.0, 7900.0)
    ideal, pinned, clamped = (frequency_hz(290.0, 1000.0, wire, ends) for ends in ENDS)
    assert ideal < pinned < clamped


def test_a_very_thin_clamped_wire_nears_the_ideal_string() -> None:
    # decay lengths beyond what cosh can hold
    wire = round_wire(0.01, 193.0, 7900.0)
    ideal = frequency_hz(300.0, 10.0, wire, "ideal")
    assert frequency_hz(300.0, 10.0, wire, "clamped") == pytest.approx(ideal, rel=1e-3)


@pytest.mark.parametrize("ends", ["pinned", "clamped"])
def test_a_pitch_below_the_bare_wire_s_own_has_no_tension(ends: Ends) -> None:
    wire = round_wire(2.0, 193.0, 7900.0)
    bare = frequency_hz(290.0, 0.0, wire, ends)
    with pytest.raises(CannotCompute, match="without any tension"):
        tension_from_pitch_n(0.99 * bare, 290.0, wire, ends)


@pytest.mark.parametrize(
    ("pitch_hz", "name", "cents"),
    [
        (440.0, "A4", 0.0),
        (880.0, "A5", 0.0),
        (261.6256, "C4", 0.0),
        (246.9417, "B3", 0.0),
        (369.9944, "F#4", 0.0),
        (440.0 * 2.0 ** (0.25 / 12.0), "A4", 25.0),
        (440.0 * 2.0 ** (-0.25 / 12.0), "A4", -25.0),
    ],
)
def test_the_nearest_note(pitch_hz: float, name: str, cents: float) -> None:
    # tempered scale, A4 = 440 Hz
    note = nearest_note(pitch_hz)
    assert note.name == name
    assert note.cents == pytest.approx(cents, abs=0.01)


def test_silence_has_no_note() -> None:
    with pytest.raises(CannotCompute, match="no note"):
        nearest_note(0.0)


@pytest.mark.parametrize(
    ("long_mm", "pull_n", "kg_m"), [(0.0, 1.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, 0.0)]
)
def test_a_string_needs_length_mass_and_no_push(long_mm: float, pull_n: float, kg_m: float) -> None:
    with pytest.raises(CannotCompute, match="string"):
        string_hz(long_mm, pull_n, kg_m)


def test_a_pitch_needs_a_length_to_become_a_tension() -> None:
    with pytest.raises(CannotCompute, match="positive"):
        tension_from_pitch_n(300.0, 0.0, Wire(0.02), "ideal")


def test_a_spoke_is_pitched_under_every_end_condition() -> None:
    plain = SpokeSideSpec(16, 3, (SpokeSection(3.141592653589793),), 193.0)
    whole = spoke_pitch(plain, 290.0, 1000.0)
    wire = round_wire(2.0, 193.0, 7900.0)
    assert whole.ideal_hz == pytest.approx(frequency_hz(290.0, 1000.0, wire, "ideal"))
    assert whole.pinned_hz == pytest.approx(frequency_hz(290.0, 1000.0, wire, "pinned"))
    assert whole.clamped_hz == pytest.approx(frequency_hz(290.0, 1000.0, wire, "clamped"))
    assert (whole.swinging_mm, whole.note.name) == (290.0, "F4")
    shorter = spoke_pitch(plain, 290.0, 1000.0, swinging_mm=145.0)
    assert shorter.ideal_hz == pytest.approx(2.0 * whole.ideal_hz)
