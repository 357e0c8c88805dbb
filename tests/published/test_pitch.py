"""The note of a spoke against published formulas and a published table of notes.

Sources
- J. S. Allen, "Check spoke tension by ear" and "Why correct musical pitch depends on spoke length and
  not on thickness", 1987/1997: formula and statements read; the table second-hand, from a copy.
- R. P. Feynman, letter on piano strings, 1961, printed in Physics Today 62(12):46: read, with the
  fraction bars lost in the copy.
- N. H. Fletcher and T. D. Rossing, "The Physics of Musical Instruments": pinned and clamped stiff
  strings, from memory.
- AISI 302 and 304 data sheets: density and modulus, read.
The table of ideal, pinned and clamped pitches is our own calculation from these formulas; two decimals,
so 0.005 Hz.
"""

from __future__ import annotations

from math import pi, sqrt

import pytest

from buildsheet.wheel.pitch import (
    Ends,
    Wire,
    frequency_hz,
    nearest_note,
    round_wire,
    string_hz,
    tension_from_pitch_n,
)
from buildsheet.wheel.spec import SpokeSideSpec
from tests.published.published_case import Case

HALF_LAST_DIGIT_HZ = 0.005

# wire diameter mm, tension N, length mm, then Hz: ideal string, pinned, clamped
STIFF_WIRES = [
    (2.0, 1000.0, 290.0, 346.09, 349.15, 381.57),
    (1.8, 1000.0, 290.0, 384.54, 386.78, 415.37),
    (2.0, 1000.0, 260.0, 386.02, 390.27, 431.12),
]


def _wire_hz(wire_mm: float, pull_n: float, long_mm: float, ends: Ends) -> float:
    return frequency_hz(long_mm, pull_n, round_wire(wire_mm, 193.0, 7900.0), ends)


ENDS: tuple[Ends, ...] = ("ideal", "pinned", "clamped")
FORMULA: dict[Ends, str] = {
    "ideal": "Allen 1987, string formula",
    "pinned": "Fletcher and Rossing, pinned stiff string, from memory",
    "clamped": "exact root of the clamped tensioned bar",
}

CASES = tuple(
    Case(
        f"{row[0]} mm wire, {row[1]:.0f} N, {row[2]:.0f} mm, {ends}",
        FORMULA[ends],
        "own calculation",
        row[3 + place],
        "Hz",
        lambda row=row, ends=ends: _wire_hz(row[0], row[1], row[2], ends),  # type: ignore[misc]
        HALF_LAST_DIGIT_HZ,
        "two decimals",
    )
    for row in STIFF_WIRES
    for place, ends in enumerate(ENDS)
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_printed_figure_is_met(case: Case) -> None:
    assert abs(case.difference()) <= case.within


@pytest.mark.parametrize(("wire_mm", "pull_n", "long_mm"), [row[:3] for row in STIFF_WIRES])
def test_feynman_s_correction_of_a_stiff_string(
    wire_mm: float, pull_n: float, long_mm: float
) -> None:
    # f (1 + (pi/2) E A^2 mu f^2 / T^2): the first term of sqrt(1 + B), so the two differ by B^2/8
    area_m2 = pi / 4.0 * (wire_mm * 1e-3) ** 2
    mu = 7900.0 * area_m2
    ideal = string_hz(long_mm, pull_n, mu)
    share = pi / 2.0 * 193e9 * area_m2**2 * mu / pull_n**2 * ideal**2
    pinned = frequency_hz(long_mm, pull_n, round_wire(wire_mm, 193.0, 7900.0), "pinned")
    assert pinned / ideal == pytest.approx(1.0 + share, abs=share**2 / 2.0 + 1e-12)


def test_feynman_s_share_for_2_mm_wire() -> None:
    # our own calculation of the letter's term, 0.008895 for 2.0 mm, 1000 N, 290 mm; by hand it is
    # 0.0088945, so one unit of the last digit
    wire = round_wire(2.0, 193.0, 7900.0)
    ratio = frequency_hz(290.0, 1000.0, wire, "pinned") / frequency_hz(290.0, 1000.0, wire, "ideal")
    assert (ratio**2 - 1.0) / 2.0 == pytest.approx(0.008895, abs=1e-6)


def test_the_clamped_pitch_agrees_with_the_series_for_small_stiffness() -> None:
    # f/f0 = 1 + 2e + (4 + pi^2/2) e^2, e = sqrt(EI / T L^2) [from memory]; the next term is of e^3
    wire = round_wire(1.0, 193.0, 7900.0)
    e = sqrt(wire.bending_nm2 / (1500.0 * 0.300**2))
    ratio = frequency_hz(300.0, 1500.0, wire, "clamped") / frequency_hz(
        300.0, 1500.0, wire, "ideal"
    )
    assert e < 0.01
    assert ratio == pytest.approx(1.0 + 2.0 * e + (4.0 + pi**2 / 2.0) * e**2, abs=40.0 * e**3)


def test_a_clamped_bar_without_tension_rings_at_its_own_pitch() -> None:
    # first clamped mode 4.7300 [any vibration handbook, from memory]
    wire = round_wire(2.0, 193.0, 7900.0)
    bar_hz = 4.7300407**2 / (2.0 * pi * 0.290**2) * sqrt(wire.bending_nm2 / wire.density_kg_m)
    assert frequency_hz(290.0, 0.0, wire, "clamped") == pytest.approx(bar_hz, rel=1e-6)


def test_reading_a_clamped_wire_as_an_ideal_string_says_16_to_24_percent_too_much() -> None:
    # own calculation; the reason why every conversion must name its ends
    read_as = []
    for wire_mm, pull_n, long_mm, *_ in STIFF_WIRES:
        wire = round_wire(wire_mm, 193.0, 7900.0)
        pitch = frequency_hz(long_mm, pull_n, wire, "clamped")
        read_as.append(tension_from_pitch_n(pitch, long_mm, wire, "ideal") / pull_n - 1.0)
    assert min(read_as) > 0.16
    assert max(read_as) < 0.25


def test_equal_pitch_means_equal_stress_whatever_the_gauge() -> None:
    # Allen's statement
    for wire_mm in (1.5, 1.8, 2.0, 2.3):
        area_mm2 = pi / 4.0 * wire_mm**2
        assert string_hz(280.0, 300.0 * area_mm2, 7900e-6 * area_mm2) == pytest.approx(
            string_hz(280.0, 300.0, 7900e-6)
        )


def test_an_octave_is_four_times_the_tension_and_a_minor_third_more_than_1_4_times() -> None:
    # Allen's statements
    wire = Wire(0.0248)
    octave, third = (tension_from_pitch_n(hz, 290.0, wire, "ideal") for hz in (600.0, 360.0))
    assert octave / tension_from_pitch_n(300.0, 290.0, wire, "ideal") == pytest.approx(4.0)
    assert third / tension_from_pitch_n(300.0, 290.0, wire, "ideal") > 1.4


# Allen's table, plain gauge: spoke length mm -> note, the lowest being F#4
ALLEN = [
    (308, "F#4"), (292, "G4"), (276, "G#4"), (262, "A4"), (248, "A#4"), (236, "B4"), (224, "C5"),
    (212, "C#5"), (201, "D5"), (191, "D#5"), (181, "E5"), (172, "F5"), (163, "F#5"), (156, "G5"),
    (147, "G#5"),
]  # fmt: skip
NOT_SWINGING_MM = 18.8
"""Our own fit: so much of each listed length does not swing."""


def test_allen_s_table_is_one_wire_stress_throughout() -> None:
    # inverted row by row: 1.5 percent, because the table rounds lengths to whole millimetres and
    # a semitone is 12 percent of tension
    one_square_mm = Wire(7900e-6)
    stresses = [
        tension_from_pitch_n(_note_hz(row), length - NOT_SWINGING_MM, one_square_mm, "ideal")
        for row, (length, _) in enumerate(ALLEN)
    ]
    middle = (max(stresses) + min(stresses)) / 2.0
    assert max(stresses) / middle - 1.0 < 0.015
    assert 355.0 < middle < 368.0


def test_every_length_of_allen_s_table_gives_its_note() -> None:
    # 1135 N on 2.0 mm wire is that stress; every row is within 0.7 mm, so within a few cents
    for length, name in ALLEN:
        pitch = string_hz(length - NOT_SWINGING_MM, 1135.0, 7900e-6 * pi)
        note = nearest_note(pitch)
        assert note.name == name
        assert abs(note.cents) < 12.0


def test_the_density_taken_for_wire_lies_between_302_and_304() -> None:
    # AISI 302: 7.86 g/cm3; 304: 7.93 to 8.03 g/cm3
    taken = SpokeSideSpec(16, 3, (), 193.0).density_kg_m3
    assert 7860.0 <= taken <= 7930.0


def _note_hz(semitones_above_f_sharp: int) -> float:
    return float(440.0 * 2.0 ** ((semitones_above_f_sharp - 3) / 12.0))
