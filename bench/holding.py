"""Speed of the chance that a fight draws an anchor, for many anchors at once."""

from __future__ import annotations

import numpy as np
from figure import Figure
from timing import seconds

from setwright.ground.reliability import failure_in
from setwright.tackle.reliability import series_loss

ANCHORS, LUNGES, DRAWS = 10_000, 20, 200


def figures() -> list[Figure]:
    """Figures of the anchors."""
    rng = np.random.default_rng(20)
    ratio, cov = rng.uniform(0.3, 5.0, ANCHORS), rng.uniform(0.2, 0.6, ANCHORS)
    integral = seconds(lambda: failure_in(ratio, cov, 0.44, LUNGES), 3)

    def drawn() -> np.ndarray:
        """The same by drawing every strength and every lunge."""
        strength = ratio[:, None] * np.exp(cov[:, None] * rng.standard_normal((ANCHORS, DRAWS)))
        hardest = np.exp(0.42 * rng.standard_normal((ANCHORS, DRAWS, LUNGES))).max(axis=-1)
        return np.asarray((hardest > strength).mean(axis=1))

    by_draws = seconds(drawn, 1)
    parts = rng.uniform(500.0, 6000.0, (ANCHORS, 5))
    rigs = seconds(lambda: series_loss(parts, 0.15, 434.0, 0.42, lunges=float(LUNGES)), 1)
    return [
        Figure(f"{ANCHORS:,} anchors × {LUNGES} lunges", integral, "s", most=1.0),
        Figure(f"the same by {DRAWS} draws each, over that", by_draws / integral, "×", digits=0),
        Figure(f"{ANCHORS:,} rigs of five parts in a row", rigs, "s"),
    ]
