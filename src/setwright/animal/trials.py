"""Refit of the load model on the raw rows of the pan trials: every row fitted, held back or left out with a reason.

A calibration. One row is held back and predicted; one row of one study is no validation either.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.calibrate import COYOTE, ERROR_SCALE, POOL, Bodies
from setwright.animal.curve import fire_curve
from setwright.animal.load import GRAVITY, coupling, foot_load
from setwright.animal.trial_rows import RowFit, TrialRow
from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

MEANS = tuple(np.round(np.arange(0.30, 0.801, 0.025), 3).tolist())
SPREADS = tuple(np.round(np.arange(0.10, 0.301, 0.025), 3).tolist())
FORCES = tuple((GRAVITY * np.geomspace(0.08, 3.2, 75)).tolist())
LOSSES = tuple(np.linspace(0.0, 0.08, 17).tolist())
# 1.4 to 1.8 kg of force is recalled for the tension devices; read as the middle nine tenths about 1.6 kg.
RECALLED = 1.6 * GRAVITY
RECALLED_SPREAD = float(np.log(1.8 / 1.4) / (2 * 1.6448536))

ANIMALS: Mapping[str, Bodies] = MappingProxyType(
    {
        "coyote": COYOTE,
        "small": POOL,
        "bobcat": Bodies((8.6,), (0.25,), (0.54,), (0.11,)),
        "raccoon": Bodies((6.4,), (0.25,), (0.50,), (0.10,)),
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Chance to fire of each group over the grid of couplings and trip forces.

    Parameters
    ----------
    means, sds : array (m,), (s,) [-]
        Mean and spread of the coupling.
    forces : array (f,) [N]
        Trip forces.
    fires : mapping of str to array (m, s, f) [-]
        By group.

    """

    means: Floats
    sds: Floats
    forces: Floats
    fires: Mapping[str, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class TrialFit:
    """Calibration on rows.

    Parameters
    ----------
    mean, sd : float [-]
        Best mean and spread of the coupling.
    mean_low, mean_high : float [-]
        5 % and 95 % points of the mean that the fitted rows allow, all pairs of the grid alike before.
    loss : float [-]
        Share of coyotes lost after firing.
    pan_forces : mapping of str to float [N]
        Best trip force of each pan.
    misfit : float [-]
        Root of the summed squares over the error scale, the recalled trip forces among them.
    weight : array (m, s) [-]
        How well each pair of the grid fits; sums to 1.
    rows : tuple of RowFit
        All rows, in the order of the table.

    """

    mean: float
    sd: float
    mean_low: float
    mean_high: float
    loss: float
    pan_forces: Mapping[str, float]
    misfit: float
    weight: Floats
    rows: tuple[RowFit, ...]

    def row(self, key: str) -> RowFit:
        """One row by its key."""
        return next(one for one in self.rows if one.row.key == key)


def surface(
    means: ArrayLike = MEANS,
    sds: ArrayLike = SPREADS,
    forces: ArrayLike = FORCES,
    animals: Mapping[str, Bodies] = ANIMALS,
    inner: int = 256,
) -> Surface:
    """Compute the chances on which all fits rest, once.

    Parameters
    ----------
    means, sds : array [-]
        Grid of the coupling.
    forces : array [N]
        Grid of the trip force, even in its logarithm.
    animals : mapping of str to Bodies
        Bodies of each group, in equal parts.
    inner : int
        Steps for each body.

    Returns
    -------
    Surface
        By group.

    Raises
    ------
    OutOfRange
        When a grid is empty.

    """
    m, s, f = (np.atleast_1d(np.asarray(axis, dtype=float)) for axis in (means, sds, forces))
    if min(m.size, s.size, f.size) == 0:
        raise OutOfRange("a grid is empty", field="means, sds, forces")
    pairs = np.stack(np.meshgrid(m, s, indexing="ij"), axis=-1).reshape(-1, 2)
    steps = coupling(pairs[:, 0], pairs[:, 1], inner)
    fires = {}
    for group, bodies in animals.items():
        each = [
            fire_curve(foot_load(mass, cv, share, share_sd, steps), f).chance
            for mass, cv, share, share_sd in zip(
                bodies.mass, bodies.mass_cv, bodies.share, bodies.share_sd, strict=True
            )
        ]
        fires[group] = np.mean(each, axis=0).reshape(m.size, s.size, f.size)
    return Surface(m, s, f, MappingProxyType(fires))


def fit_rows(
    rows: Sequence[TrialRow],
    ground: Surface,
    *,
    recalled: float = RECALLED,
    recalled_spread: float = RECALLED_SPREAD,
    losses: ArrayLike = LOSSES,
) -> TrialFit:
    """Fit coupling, loss after firing and the trip force of each pan to the rows marked *fitted*.

    Parameters
    ----------
    rows : sequence of TrialRow
        The whole table; what is *held back* or *not fitted* is only compared.
    ground : Surface
        From `surface`.
    recalled : float [N]
        Trip force of the tension devices, recalled.
    recalled_spread : float [-]
        How well it is recalled, standard deviation of its logarithm. The standard pan has no such figure.
    losses : array [-]
        Grid of the share lost after firing.

    Returns
    -------
    TrialFit
        Best grid point, how well all pairs fit, every row against the model.

    Raises
    ------
    OutOfRange
        When no row is marked fitted.

    Notes
    -----
    Each row is off by 0.04 (assumed: no counts are printed). For each coupling and loss, the trip force of each pan
    is the one that suits its rows and the recalled figure best; weights are exp(−misfit²/2) of that. Seven rows and
    three recalled forces stand against seven unknowns, so the band of the mean is wide, and it is meant to be.

    Doubts: one study, pooled animals of unknown mix, trip forces recalled; captures are taken as firing times one
    common share that is not lost.

    References
    ----------
    Turkowski, Armistead & Linhart (1984), J. Wildl. Manage. 48:700-708, abstract seen; trip force memory.

    """
    used = [row for row in rows if row.use == "fitted" and np.isfinite(row.printed)]
    if not used:
        raise OutOfRange("no row is marked fitted", field="rows", found=len(rows), allowed="at least one")
    lost = np.atleast_1d(np.asarray(losses, dtype=float))
    total: Floats = np.zeros((ground.means.size, ground.sds.size, lost.size))
    places: dict[str, NDArray[np.intp]] = {}
    for pan in dict.fromkeys([row.pan for row in used] + [row.pan for row in rows if row.use == "held back"]):
        cost = _prior(pan, ground.forces, recalled, recalled_spread) + np.zeros((*total.shape, ground.forces.size))
        for row in used:
            if row.pan == pan:
                cost = cost + ((_model(row, ground, lost) - row.printed) / ERROR_SCALE) ** 2
        places[pan] = np.argmin(cost, axis=-1)
        total = total + np.min(cost, axis=-1)
    i, j, k = (int(part) for part in np.unravel_index(int(np.argmin(total)), total.shape))
    best_loss = np.argmin(total, axis=-1)
    cost_of_pair = np.min(total, axis=-1)
    weight = np.exp(-0.5 * (cost_of_pair - cost_of_pair.min()))
    weight = weight / weight.sum()
    near = int(np.argmin(np.abs(np.log(ground.forces / recalled))))
    fits = tuple(_row_fit(row, ground, lost, places, near, (i, j, k), best_loss, weight) for row in rows)
    low, high = _points(np.repeat(ground.means, ground.sds.size), weight.ravel())
    return TrialFit(
        float(ground.means[i]),
        float(ground.sds[j]),
        low,
        high,
        float(lost[k]),
        MappingProxyType({pan: float(ground.forces[place[i, j, k]]) for pan, place in places.items()}),
        float(np.sqrt(total[i, j, k])),
        weight,
        fits,
    )


def best_means(
    rows: Sequence[TrialRow], ground: Surface, recalled: ArrayLike, recalled_spread: float = RECALLED_SPREAD
) -> Floats:
    """Best mean of the coupling against the recalled trip force.

    Parameters
    ----------
    rows, ground, recalled_spread
        As in `fit_rows`.
    recalled : array (r,) [N]
        Trip forces that the devices may have had.

    Returns
    -------
    array (r,) [-]
        Mean of the coupling weighted by how well each pair fits, smoother than the best grid point.

    """
    found = []
    for force in np.atleast_1d(np.asarray(recalled, dtype=float)).tolist():
        fit = fit_rows(rows, ground, recalled=force, recalled_spread=recalled_spread)
        found.append(float(ground.means @ fit.weight.sum(axis=1)))
    return np.array(found)


def _prior(pan: str, forces: Floats, recalled: float, spread: float) -> Floats:
    if pan == "standard":
        return np.zeros_like(forces)
    return np.asarray((np.log(forces / recalled) / spread) ** 2)


def _model(row: TrialRow, ground: Surface, lost: Floats) -> Floats:
    """What the model gives for a row, shape (m, s, losses, f)."""
    fires = ground.fires[row.group][:, :, None, :]
    if row.kind == "excluded":
        return np.asarray(np.repeat(1.0 - fires, lost.size, axis=2))
    return np.asarray(fires * (1.0 - lost[:, None]))


def _row_fit(
    row: TrialRow,
    ground: Surface,
    lost: Floats,
    places: Mapping[str, NDArray[np.intp]],
    near: int,
    best: tuple[int, int, int],
    best_loss: NDArray[np.intp],
    weight: Floats,
) -> RowFit:
    known = row.pan in places or row.pan == "tension"
    if row.kind not in ("excluded", "captured") or not known:
        return RowFit(row, np.nan, np.nan, np.nan, np.nan)
    loss = lost if row.use != "not fitted" else np.zeros_like(lost)
    model = _model(row, ground, loss)
    place = places.get(row.pan, np.full(model.shape[:3], near))
    figure = np.take_along_axis(model, place[..., None], axis=-1)[..., 0]
    by_pair = np.take_along_axis(figure, best_loss[..., None], axis=-1)[..., 0]
    low, high = _points(by_pair.ravel(), weight.ravel())
    middle = float(figure[best])
    return RowFit(row, middle, low, high, row.printed - middle)


def _points(values: Floats, weight: Floats) -> tuple[float, float]:
    """5 % and 95 % points of weighted values."""
    order = np.argsort(values)
    below = np.cumsum(weight[order])
    low, high = (values[order][min(int(np.searchsorted(below, p)), values.size - 1)] for p in (0.05, 0.95))
    return float(low), float(high)
