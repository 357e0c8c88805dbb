"""Least squares under linear inequalities, exactly."""

from __future__ import annotations

import numpy as np
from scipy.optimize import nnls

from buildsheet.wheel.structure.arc import Floats

_NOTHING_LEFT = 1e-9


def bounded_least_squares(
    rows: Floats, wanted: Floats, limits: Floats, most: Floats
) -> Floats | None:
    """The x with the least ``|rows x - wanted|`` among those with ``limits x <= most``; None where
    there is none. ``rows`` must have full column rank.

    Least-distance programming by way of non-negative least squares [C. Lawson and R. Hanson, Solving
    Least Squares Problems, 1974, ch. 23; from memory].
    """
    q, r = np.linalg.qr(rows)
    free = np.linalg.solve(r, q.T @ wanted)
    # with z = r (x - free): least |z| such that  -limits inv(r) z >= limits free - most
    pushed = -np.linalg.solve(r.T, limits.T).T
    needed = limits @ free - most
    if needed.max() <= 0.0:
        return np.asarray(free)
    scale = np.linalg.norm(pushed, axis=1)
    scale = np.where(scale > 0.0, scale, 1.0)
    size = max(float(np.abs(needed / scale).max()), 1e-300)
    dual = np.vstack([(pushed / scale[:, None]).T, (needed / scale / size)[None]])
    goal = np.zeros(len(dual))
    goal[-1] = 1.0
    weights, left = nnls(dual, goal, maxiter=30 * dual.shape[1])
    if left < _NOTHING_LEFT:
        return None
    rest = dual @ weights - goal
    return np.asarray(free + np.linalg.solve(r, -rest[:-1] / rest[-1] * size))
