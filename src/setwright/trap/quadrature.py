"""Running integrals along the last axis, to fourth order on an even grid."""

from __future__ import annotations

import numpy as np

from setwright.trap.model import Floats

# Gauss-Legendre points on (0, 1), for the short flight after the jaws have left the loop.
_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(4)
POINTS: Floats = np.asarray(0.5 * (_POINTS + 1.0))
WEIGHTS: Floats = np.asarray(0.5 * _WEIGHTS)
# Trials for the angle at which the jaws leave the loop, within one step of the grid.
CROSSING_STEPS = 3


def running(values: Floats, step: float) -> Floats:
    """Integral from the first node to every node; at least four nodes, `step` apart."""
    part = np.empty((*values.shape[:-1], values.shape[-1]))
    part[..., 0] = 0.0
    part[..., 1] = 9.0 * values[..., 0] + 19.0 * values[..., 1] - 5.0 * values[..., 2] + values[..., 3]
    part[..., -1] = 9.0 * values[..., -1] + 19.0 * values[..., -2] - 5.0 * values[..., -3] + values[..., -4]
    part[..., 2:-1] = 13.0 * (values[..., 1:-2] + values[..., 2:-1]) - values[..., :-3] - values[..., 3:]
    return np.asarray(np.cumsum(part, axis=-1) * (step / 24.0))
