"""The structural answer for a wheel: cold, again, against an independent library, and by spoke count."""

from __future__ import annotations

import gc
from collections.abc import Callable
from dataclasses import replace
from statistics import median
from time import perf_counter

import numpy as np

from buildsheet.wheel import structure
from buildsheet.wheel.spec import WheelSpec
from buildsheet.wheel.structure import Load, StructureAnswer
from buildsheet.wheel.structure.assembly import assembled
from buildsheet.wheel.structure.response import compliance, under
from buildsheet.wheel.truing import Goal, Readings, truing_plan
from tests.published.published_wheels import wheel
from tests.published.reference.frame_model import frame_model

COUNTS = (16, 20, 24, 28, 32, 36, 40, 48, 56, 64, 72)
TARGET_COLD_MS, TARGET_AGAIN_MS, TARGET_TIMES = 20.0, 0.1, 100.0


def _wheel(count: int) -> WheelSpec:
    return wheel(
        radius_mm=298.0,
        ei1_nm2=280.0,
        ei2_nm2=340.0,
        gj_nm2=90.0,
        ea_n=7.5e6,
        hub_circle_mm=52.0,
        flanges_mm=(33.5, 18.5),
        count=count,
        spoke_area_mm2=1.8,
        modulus_gpa=195.0,
        crossings=min(3, count // 8 - 1),
        tight_side_n=500.0,
        attach_mm=288.0,
    )


def _median_ms(job: Callable[[], object], times: int = 30) -> float:
    taken = []
    for _ in range(times):
        start = perf_counter()
        job()
        taken.append(perf_counter() - start)
    return 1e3 * median(taken)


def _whole(spec: WheelSpec) -> StructureAnswer:
    """Everything: figures, every nipple's turn, one load."""
    answer = structure.solve(spec)
    answer.influence()
    answer.under([Load(1, radial_n=500.0)])
    return answer


def _first_call(spec: WheelSpec) -> StructureAnswer:
    structure.solve.cache_clear()
    return _whole(spec)


def main() -> None:
    spec = _wheel(32)
    cold_ms = _median_ms(lambda: _first_call(spec))
    structure.solve(spec)
    again_ms = _median_ms(lambda: structure.solve(spec), 200)
    print(f"32 spokes, whole answer, cold: {cold_ms:.2f} ms (target {TARGET_COLD_MS:g})")
    print(f"the same wheel again: {again_ms:.4f} ms (target {TARGET_AGAIN_MS:g})")
    _against_library(replace(spec, tight_side_n=None))
    _by_count()
    _truing(spec)


def _against_library(spec: WheelSpec) -> None:
    """The library builds and solves one load; ours does the whole answer of the same wheel."""
    layout = structure.solve(spec).layout
    ours, theirs = [], []
    for _ in range(5):  # in turn, so that a busy machine slows both alike
        theirs.append(_median_ms(lambda: frame_model(layout).solve(Load(1, radial_n=500.0)), 1))
        gc.collect()
        ours.append(_median_ms(lambda: _first_call(spec), 20))
    ours_ms, theirs_ms = median(ours), median(theirs)
    load = Load(1, radial_n=500.0)
    one_ms = _median_ms(lambda: under(compliance(assembled(layout), 0.0), [load]))
    gc.collect()  # its thousands of objects are not to be swept during our own figures
    print(
        f"PyNiteFEA, the same wheel, one load: {theirs_ms:.0f} ms; ours, whole answer: {ours_ms:.2f} ms; "
        f"{theirs_ms / ours_ms:.0f} times (target {TARGET_TIMES:g})"
    )
    print(f"ours, that one load alone: {one_ms:.2f} ms; {theirs_ms / one_ms:.0f} times")


def _by_count() -> None:
    print("spokes   ms   ms per spoke")
    taken = []
    for count in COUNTS:
        spec = _wheel(count)
        ms = _median_ms(lambda spec=spec: _first_call(spec))  # type: ignore[misc]
        taken.append(ms)
        print(f"{count:>6} {ms:6.2f} {ms / count:8.4f}")
    power = np.polyfit(np.log(COUNTS), np.log(taken), 1)[0]
    print(f"cost grows as spokes to the power {power:.2f} (1 is linear)")


def _truing(spec: WheelSpec) -> None:
    answer = structure.solve(spec)
    off = np.random.default_rng(1).uniform(-1.0, 1.0, 32)
    turned = answer.influence()
    tension = answer.tension_n * 0.9 + turned.tension_n @ off * 0.3
    readings = Readings(
        list(turned.lateral_mm @ off * 0.3), list(turned.radial_mm @ off * 0.3), 0.0, list(tension)
    )
    goal = Goal(tuple(answer.tension_n), 1.05 * float(answer.tension_n.max()), 50.0)
    ms = _median_ms(lambda: truing_plan(answer, readings, goal), 10)
    print(f"a truing plan for 32 spokes: {ms:.1f} ms")


if __name__ == "__main__":
    main()
