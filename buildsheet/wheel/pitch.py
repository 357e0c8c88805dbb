"""The note of a plucked spoke: a relative cross-check between like spokes, never a gauge.

Pitch compares spokes of one side of one wheel quickly and well. As a measure of tension it
misleads: a wire that is clamped at both ends rings 8 to 12 percent higher than an ideal string, so
that reading newtons from it without saying so reads 16 to 24 percent too much. Whatever turns a
pitch into newtons here must be told how the ends are held and which length swings; whatever gives a
pitch says what it assumes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, cosh, log2, pi, sin, sqrt, tanh
from typing import Final, Literal

from buildsheet.errors import CannotCompute
from buildsheet.wheel.length import mean_area_mm2
from buildsheet.wheel.spec import SpokeSideSpec

Ends = Literal["ideal", "pinned", "clamped"]
"""``ideal``: a string without stiffness. ``pinned``: stiff, ends free to tilt. ``clamped``: stiff,
ends held in direction too, as a crossed spoke in nipple and flange nearly is."""

CONCERT_A_HZ: Final = 440.0
_CONCERT_A_FROM_C0: Final = 57
_NOTES: Final = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_FREE_BAR: Final = 4.730040744862704
"""First root of cos x cosh x = 1: a clamped bar without any tension."""


@dataclass(frozen=True, slots=True)
class Wire:
    """What swings: mass per metre, and bending stiffness EI."""

    density_kg_m: float
    bending_nm2: float = 0.0


@dataclass(frozen=True, slots=True)
class Note:
    """The nearest note of the tempered scale (A4 = 440 Hz) and by how many cents the pitch is above
    it."""

    name: str
    cents: float


@dataclass(frozen=True, slots=True)
class SpokePitch:
    """One spoke's pitch under each assumption about its ends, over ``swinging_mm``, and the note of
    the ideal string. For relative comparison only."""

    swinging_mm: float
    ideal_hz: float
    pinned_hz: float
    clamped_hz: float
    note: Note


def linear_density_kg_m(area_mm2: float, density_kg_m3: float) -> float:
    """Mass per metre of wire.

    >>> linear_density_kg_m(2.0, 8000.0)
    0.016
    """
    return area_mm2 * density_kg_m3 * 1e-6


def round_wire(diameter_mm: float, modulus_gpa: float, density_kg_m3: float) -> Wire:
    """Plain round wire."""
    area_mm2 = pi / 4.0 * diameter_mm**2
    bending_nm2 = modulus_gpa * 1e-3 * pi / 64.0 * diameter_mm**4
    return Wire(linear_density_kg_m(area_mm2, density_kg_m3), bending_nm2)


def wire_of(spokes: SpokeSideSpec) -> Wire:
    """The spoke as round wire of its mean area.

    Exact in mass; for a butted or bladed spoke only a stand-in for the bending stiffness.
    """
    diameter_mm = sqrt(4.0 * mean_area_mm2(spokes.sections) / pi)
    return round_wire(diameter_mm, spokes.modulus_gpa, spokes.density_kg_m3)


def string_hz(swinging_mm: float, tension_n: float, density_kg_m: float) -> float:
    """Pitch of an ideal string, f = sqrt(T / m) / 2L [plain physics; J. S. Allen 1987, read].

    >>> string_hz(500.0, 100.0, 0.01)
    100.0
    """
    if not (swinging_mm > 0.0 and density_kg_m > 0.0 and tension_n >= 0.0):
        raise CannotCompute(
            "a string needs a length, a mass and no push: "
            f"{swinging_mm:g} mm, {density_kg_m:g} kg/m, {tension_n:g} N"
        )
    return sqrt(tension_n / density_kg_m) / (2.0 * swinging_mm * 1e-3)


def frequency_hz(swinging_mm: float, tension_n: float, wire: Wire, ends: Ends) -> float:
    """Lowest pitch of a tensioned wire with its ends held as told.

    Pinned: f0 sqrt(1 + B), B = pi^2 EI / (T L^2) [Fletcher & Rossing, from memory]; written so that
    it holds without tension too. Clamped: the lowest root of the exact tensioned bar.
    """
    ideal = string_hz(swinging_mm, tension_n, wire.density_kg_m)
    if ends == "ideal" or wire.bending_nm2 == 0.0:
        return ideal
    length_m = swinging_mm * 1e-3
    if ends == "pinned":
        stiff_n = pi**2 * wire.bending_nm2 / length_m**2
        return string_hz(swinging_mm, tension_n + stiff_n, wire.density_kg_m)
    pull = tension_n * length_m**2 / wire.bending_nm2
    x = _root(lambda x: _clamped(x, sqrt(x * x + pull)), pi, _FREE_BAR)
    omega = x * sqrt(x * x + pull) / length_m**2 * sqrt(wire.bending_nm2 / wire.density_kg_m)
    return omega / (2.0 * pi)


def tension_from_pitch_n(frequency_hz: float, swinging_mm: float, wire: Wire, ends: Ends) -> float:
    """Tension that would give this pitch IF the ends are held as told and exactly this much swings.

    Both are guesses on a real spoke: use it to compare, not to measure. Raises CannotCompute where
    the wire's stiffness alone already rings higher.
    """
    length_m = swinging_mm * 1e-3
    if not (frequency_hz > 0.0 and length_m > 0.0 and wire.density_kg_m > 0.0):
        raise CannotCompute("pitch, length and mass must be positive")
    string_n = wire.density_kg_m * (2.0 * length_m * frequency_hz) ** 2
    if ends == "ideal" or wire.bending_nm2 == 0.0:
        return string_n
    tension = (
        string_n - pi**2 * wire.bending_nm2 / length_m**2
        if ends == "pinned"
        else _clamped_tension_n(frequency_hz, length_m, wire)
    )
    if tension < 0.0:
        raise CannotCompute(f"without any tension this wire rings above {frequency_hz:g} Hz")
    return tension


def nearest_note(frequency_hz: float) -> Note:
    """The nearest note of the tempered scale, concert A = 440 Hz.

    >>> nearest_note(440.0)
    Note(name='A4', cents=0.0)
    """
    if not frequency_hz > 0.0:
        raise CannotCompute(f"no note has a pitch of {frequency_hz:g} Hz")
    steps = 12.0 * log2(frequency_hz / CONCERT_A_HZ)
    place = round(steps)
    octave, note = divmod(place + _CONCERT_A_FROM_C0, 12)
    return Note(f"{_NOTES[note]}{octave}", 100.0 * (steps - place))


def spoke_pitch(
    spokes: SpokeSideSpec, length_mm: float, tension_n: float, swinging_mm: float | None = None
) -> SpokePitch:
    """Pitch of a spoke under each end condition.

    ``swinging_mm`` is given where less than the whole length swings.
    """
    swings, wire = length_mm if swinging_mm is None else swinging_mm, wire_of(spokes)
    ideal = frequency_hz(swings, tension_n, wire, "ideal")
    return SpokePitch(
        swinging_mm=swings,
        ideal_hz=ideal,
        pinned_hz=frequency_hz(swings, tension_n, wire, "pinned"),
        clamped_hz=frequency_hz(swings, tension_n, wire, "clamped"),
        note=nearest_note(ideal),
    )


def _clamped(x: float, y: float) -> float:
    """Zero where a clamped bar under tension rings: x its waves, y its decay, times the length."""
    # 2xy (1 - cos x cosh y) + (y^2 - x^2) sin x sinh y = 0, divided by cosh y, which overflows
    falloff = 1.0 / cosh(y) if y < 700.0 else 0.0
    return 2.0 * x * y * (falloff - cos(x)) + (y * y - x * x) * sin(x) * tanh(y)


def _clamped_tension_n(frequency_hz: float, length_m: float, wire: Wire) -> float:
    # the pitch fixes the product x y; the clamped bar's condition then fixes x
    product = 2.0 * pi * frequency_hz * length_m**2 * sqrt(wire.density_kg_m / wire.bending_nm2)
    if product < _FREE_BAR**2:
        return -1.0
    x = _root(lambda x: _clamped(x, product / x), pi, _FREE_BAR)
    return ((product / x) ** 2 - x * x) * wire.bending_nm2 / length_m**2


def _root(falls: Callable[[float], float], low: float, high: float) -> float:
    """Where a function falling from above 0 to below it passes 0, halved down to rounding."""
    while True:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            return middle
        if falls(middle) > 0.0:
            low = middle
        else:
            high = middle
