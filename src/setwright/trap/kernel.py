"""The closing of many designs, compiled: the same sums as `plain`, several times sooner."""

from __future__ import annotations

import math
import os
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from setwright.trap.lanes import (
    DRAG,
    EDGE,
    END,
    FOLLOWED,
    FREE,
    JAW,
    LANES,
    LAST,
    LOOPS,
    MASS,
    RATE,
    RISE,
    SET,
    TURN,
    UPRIGHT,
    WEIGHT,
    all_nodes,
    ends,
    plain_code,
    squares,
    stage,
)
from setwright.trap.model import Floats
from setwright.trap.quadrature import CROSSING_STEPS, POINTS, WEIGHTS

# Columns of its answer.
ANSWERS = (
    "time", "angle", "square", "separation", "parted", "part", "pace", "seat", "together", "ahead", "stalls",
    "damping", "separates",
)  # fmt: skip


@plain_code
def _running(values, low, high, step, first, out):
    """Running integral of values[low:high] to fourth order, from `first`."""
    share = step / 24.0
    out[low] = first
    total = 9.0 * values[low] + 19.0 * values[low + 1] - 5.0 * values[low + 2] + values[low + 3]
    out[low + 1] = first + total * share
    for k in range(low + 2, high - 1):
        total += 13.0 * (values[k - 1] + values[k]) - values[k - 2] - values[k + 1]
        out[k] = first + total * share
    last = high - 1
    total += 9.0 * values[last] + 19.0 * values[last - 1] - 5.0 * values[last - 2] + values[last - 3]
    out[last] = first + total * share


@plain_code
def _hermite(x0, x1, y0, y1, s0, s1, x):
    width = x1 - x0
    t = (x - x0) / width if width > 0.0 else 1.0
    rest = 1.0 - t
    return y0 * (1.0 + 2.0 * t) * rest * rest + y1 * t * t * (3.0 - 2.0 * t) + width * t * rest * (s0 * rest - s1 * t)


@plain_code
def _flying(x, apart, square, weight, drag):
    """Square of the jaw rate in free flight; weight and drag over the inertia."""
    decay = 2.0 * drag
    below = 1.0 + decay * decay
    fade = math.exp(-decay * (x - apart)) if decay > 0.0 else 1.0
    at = (decay * math.cos(x) + math.sin(x)) / below
    from_ = (decay * math.cos(apart) + math.sin(apart)) / below
    return fade * square - 2.0 * weight * (at - fade * from_)


@plain_code
def _flight_time(start, end, apart, square, weight, drag, points, weights):
    total = 0.0
    for k in range(points.shape[0]):
        speed = _flying(start + (end - start) * points[k], apart, square, weight, drag)
        total += weights[k] / math.sqrt(speed) if speed > 0.0 else math.nan
    return total * (end - start)


@plain_code
def _push(code, p, i, x, square):
    """Torque with which the loop drives the jaw at one angle and squared rate."""
    drive, brake, _, _ = stage(code, p, i, x, 0.0)
    return 0.5 * p[JAW, i] * (drive - brake * square) + p[DRAG, i] * square + p[WEIGHT, i] * math.cos(x)


@plain_code
def _crossing(code, p, i, x0, x1, y0, y1, s0, s1, f_low, f_high):
    """Angle at which that torque, known at both ends, falls to nothing (Illinois rule)."""
    low, high = x0, x1
    for _ in range(CROSSING_STEPS):
        middle = low + min(max(f_low / (f_low - f_high), 0.0), 1.0) * (high - low)
        found = _push(code, p, i, middle, _hermite(x0, x1, y0, y1, s0, s1, middle))
        if found > 0.0:
            low, f_low, f_high = middle, found, 0.5 * f_high
        else:
            high, f_low, f_high = middle, 0.5 * f_low, found
    return low + min(max(f_low / (f_low - f_high), 0.0), 1.0) * (high - low)


@plain_code
def _one(code, p, q, i, nodes, first, h1, h2, points, weights, w, run, clock, out):
    """Where the jaws of one design leave the loop, and how its motion ends; `out` in the order of ANSWERS."""
    jaw, weight, drag = p[JAW, i], p[WEIGHT, i], p[DRAG, i]
    start, last, end = p[SET, i], q[LAST, i], q[END, i]
    drive0 = w[2, 0, i]
    damping = 0.0
    leaves = nodes
    torque, pushes = 0.0, 0.0
    stalls = not drive0 > 0.0
    for k in range(nodes):
        y = w[6, k, i]
        torque = 0.5 * jaw * w[7, k, i] + drag * y + weight * w[5, k, i]
        if k > 0 and torque >= 0.0:
            pushes = torque
        if k > 0 and torque < 0.0:
            leaves = k
            break
        if k > 0 and not y > 0.0:
            stalls = True
        damping = max(damping, abs(2.0 * drag / jaw * w[1, k, i]))
    separates = leaves < nodes or last < end
    inside = min(leaves, nodes - 1)
    x0, x1 = w[0, inside - 1, i], w[0, inside, i]
    y0, y1, s0, s1 = w[6, inside - 1, i], w[6, inside, i], w[7, inside - 1, i], w[7, inside, i]
    apart = _crossing(code, p, i, x0, x1, y0, y1, s0, s1, pushes, torque) if leaves < nodes else last
    flight_square = _hermite(x0, x1, y0, y1, s0, s1, apart)
    heavy, damped = weight / jaw, drag / jaw
    for k in range(nodes):
        y = w[6, k, i] if k < leaves else max(_flying(w[0, k, i], apart, flight_square, heavy, damped), 0.0)
        run[k] = w[1, k, i] / math.sqrt(y) if y > 0.0 else 0.0
    run[0] = 2.0 * math.sqrt((q[TURN, i] - start) / drive0)
    _running(run, 0, first, h1, 0.0, clock)
    _running(run, first, nodes, h2, clock[first - 1], clock)
    if leaves < nodes:
        low, high = math.sqrt(max(x0 - start, 0.0)), math.sqrt(max(apart - start, 0.0))
        total = 0.0
        for k in range(points.shape[0]):
            root = low + (high - low) * points[k]
            speed = _hermite(x0, x1, y0, y1, s0, s1, start + root * root)
            total += weights[k] * (2.0 * root / math.sqrt(speed) if speed > 0.0 else math.nan)
        before = clock[inside - 1] + total * (high - low)
        at_first = before + _flight_time(apart, x1, apart, flight_square, heavy, damped, points, weights)
        shift = at_first - clock[inside]
        for k in range(leaves, nodes):
            clock[k] += shift
    else:
        before = clock[nodes - 1]
    if separates:
        y_end = _flying(end, apart, flight_square, heavy, damped)
        time = before + _flight_time(apart, end, apart, flight_square, heavy, damped, points, weights)
    else:
        y_end, time = w[6, nodes - 1, i], clock[nodes - 1]
    stalls = stalls or not y_end > 0.0 or not math.isfinite(time)

    _, _, part, part_slope = stage(code, p, i, apart, 0.0)
    quick = part_slope * math.sqrt(max(flight_square, 0.0))
    _, _, seat, _ = stage(code, p, i, min(end, q[UPRIGHT, i] - EDGE), 0.0)
    free = p[FREE, i]
    frequency = math.sqrt(p[RATE, i] / p[MASS, i])
    gap = max(free - part, 0.0)
    spent = (0.5 * math.pi - math.atan2(quick, frequency * gap)) / frequency
    amplitude = math.sqrt((gap * frequency) ** 2 + quick * quick)
    near = 1e-2 * (free - w[4, 0, i])
    ahead = False
    for k in range(leaves, nodes):
        if w[0, k, i] > apart:
            gone = clock[k] - before
            if gone > spent:
                at = free + amplitude * (gone - spent)
            else:
                swing = min(gone, max(spent, 0.0))
                at = free - gap * math.cos(frequency * swing) + quick / frequency * math.sin(frequency * swing)
            ahead = ahead or at - w[4, k, i] > near
    out[0], out[1], out[2] = time, end, y_end
    out[3] = apart if separates else math.nan
    out[4], out[5], out[6], out[7] = before, part, quick, seat
    out[8] = p[LOOPS, i] * 0.5 * p[MASS, i] * q[RISE, i] * q[RISE, i] * w[6, nodes - 1, i]
    out[9] = 1.0 if ahead and separates else 0.0
    out[10] = 1.0 if stalls else 0.0
    out[11] = damping / (first - 1)
    out[12] = 1.0 if separates else 0.0


@plain_code
def _many(code, designs, nodes, first, points, weights, out, angles, times):
    """Close designs, so many side by side; keeps the motion where `angles` has rows."""
    h1, h2 = 1.0 / (first - 1), 1.0 / (nodes - first - 1)
    p, q = np.empty((designs.shape[0], LANES)), np.empty((FOLLOWED, LANES))
    w, v = np.empty((8, nodes, LANES)), np.empty((3, nodes, LANES))
    zero, total = np.zeros(LANES), np.empty(LANES)
    run, clock = np.empty(nodes), np.empty(nodes)
    for head in range(0, designs.shape[1], LANES):
        count = min(LANES, designs.shape[1] - head)
        p[:, :count] = designs[:, head : head + count]
        ends(code, p, q, count, h1)
        all_nodes(code, p, q, count, nodes, first, h1, h2, w)
        squares(count, nodes, first, h1, h2, w, v, zero, total)
        for i in range(count):
            _one(code, p, q, i, nodes, first, h1, h2, points, weights, w, run, clock, out[head + i])
            if angles.shape[0]:
                angles[head + i, :] = w[0, :, i]
                times[head + i, :] = clock


def close_many(
    code: int, designs: Floats, *, nodes: int, first: int, motion: bool = True, workers: int | None = None
) -> tuple[Floats, Floats, Floats]:
    """Close n designs, on all cores unless told otherwise.

    Parameters
    ----------
    code : int
        0 long-spring, 1 lever with a round eye, 2 lever with a slot.
    designs : shape (len(COLUMNS), n)
        SI, in the order of `COLUMNS`.
    nodes, first : int
        Nodes of the motion, and how many of them lie before the sliding turns.
    motion : bool
        Keep angles and times at the nodes.
    workers : int, optional
        Threads; as many as there are cores when None.

    Returns
    -------
    tuple of array, shapes (n, len(ANSWERS)), (n, nodes), (n, nodes)
        Answers in the order of `ANSWERS`, angles [rad] and times [s]; the last two empty without `motion`.

    """
    count = designs.shape[1]
    out = np.empty((count, len(ANSWERS)))
    kept = count if motion else 0
    angles, times = np.empty((kept, nodes)), np.empty((kept, nodes))
    threads = max(1, min(workers or os.cpu_count() or 1, -(-count // LANES)))
    cuts = np.linspace(0, count, threads + 1).astype(int)

    def part(low: int, high: int) -> None:
        rows = slice(low, high) if motion else slice(0, 0)
        _many(code, designs[:, low:high], nodes, first, POINTS, WEIGHTS, out[low:high], angles[rows], times[rows])

    if threads == 1:
        part(0, count)
    else:
        with ThreadPoolExecutor(threads) as pool:
            list(pool.map(part, cuts[:-1].tolist(), cuts[1:].tolist()))
    return out, angles, times
