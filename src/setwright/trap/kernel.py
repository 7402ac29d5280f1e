"""The closing of many designs, compiled: the same sums as `closing`, one design after the other."""

from __future__ import annotations

import math
import os
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numba import njit

from setwright.trap.model import Floats
from setwright.trap.quadrature import CROSSING_STEPS, POINTS, WEIGHTS

# Columns of the table of designs that the compiled loop reads.
COLUMNS = (
    "loops", "clearance", "loop_clearance", "bearing_offset", "face_offset", "height", "hinge_half_distance",
    "bevel", "set_angle", "spring_rate", "free_coordinate", "loop_inertia", "lever_length",
    "pivot_height", "offset_gap", "friction", "limb", "inertia", "weight", "drag",
)  # fmt: skip
# Columns of its answer.
ANSWERS = (
    "time", "angle", "square", "separation", "parted", "part", "pace", "seat", "together", "ahead", "stalls",
    "damping", "separates",
)  # fmt: skip
LONG_CODE, ROUND_CODE, SLOT_CODE = 0, 1, 2

_BLOCK = 64
_EDGE = 1e-4
_MARGIN = 0.02
# Sine of a turn of the lever up to which a series of six terms gives the angle to 1e-12.
_SHORT = 0.12


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _terms(code, d, sine, cosine, level, sign, near, known, known_cosine, known_sine):
    """Drive and brake of y' = drive − brake y; coordinate, slope, cosine and sine of the loop.

    `sine`, `cosine` of the bearing angle, `level` the cosine of the jaw angle; `known` is the coordinate of a
    node with its cosine and sine, from which, when `near`, the lever's own angle follows by a short series.
    """
    loops, b, c, t_e = d[0], d[1], d[2], d[3]
    mu, jaw, weight, drag = d[15], d[17], d[18], d[19]
    length, pivot = d[12], d[13]
    secant = 1.0 / cosine
    reach = (b - c * sine) * secant
    height = (b * sine - c) * secant
    slide = height * secant
    rise = reach * secant
    curve = (2.0 * reach * sine - c * cosine) * secant * secant
    if code == 0:
        coordinate, lever_cosine, lever_sine = height, 1.0, 0.0
        slope, bend = rise, curve
        along = sign if sign != 0.0 else (1.0 if slide > 0.0 else (-1.0 if slide < 0.0 else 0.0))
        effort = cosine + mu * along * sine
        arm = reach + mu * along * t_e
    elif code == 1:
        lever_sine = (height - pivot) / length
        lever_cosine = math.sqrt(max(1.0 - lever_sine * lever_sine, 1e-18))
        upright = length * lever_cosine
        inverse = 1.0 / upright
        slope = rise * inverse
        bend = (curve + slope * slope * lever_sine * length) * inverse
        runs = length * abs(lever_sine) * slope
        share = 1.0 / max(math.sqrt(slide * slide + runs * runs), 1e-300)
        along, across = slide * share, runs * share
        effort = (cosine + mu * along * sine) * upright + mu * across * length * abs(lever_sine)
        arm = reach + mu * along * t_e
    else:
        slant = (height - pivot) / length
        lever_cosine = 1.0 / math.sqrt(1.0 + slant * slant)
        lever_sine = slant * lever_cosine
        square = lever_cosine * lever_cosine
        slope = rise * square / length
        bend = curve * square / length - 2.0 * slope * slope * slant
        runs = length * abs(slant) * slope / lever_cosine
        share = 1.0 / math.sqrt(
            max(slide * slide + runs * runs - 2.0 * slide * runs * sine * abs(lever_sine), 1e-300)
        )
        askew = math.sqrt(1.0 + cosine * cosine * slant * slant)
        along, across = askew * slide * share, askew * runs * share
        effort = length * (cosine / square + mu * along * sine)
        down = across * abs(lever_sine)
        arm = reach + mu * ((along - down * sine) * t_e - down * cosine * reach)
    if code > 0:
        turned = lever_sine * known_cosine - lever_cosine * known_sine
        if near and abs(turned) < _SHORT:
            z = turned * turned
            coordinate = known + turned * (
                1.0 + z * (1.0 / 6.0 + z * (0.075 + z * (15.0 / 336.0 + z * (105.0 / 3456.0 + z * 945.0 / 42240.0))))
            )
        else:
            coordinate = math.atan2(lever_sine, lever_cosine)
    ratio = 2.0 * effort / arm
    mass = loops * d[11]
    inertia = 2.0 / (mass * slope + ratio * jaw)
    force = max(d[9] * (d[10] - coordinate), 0.0)
    drive = (loops * force - ratio * weight * level) * inertia
    brake = (mass * bend + ratio * drag) * inertia
    return drive, brake, coordinate, slope, lever_cosine, lever_sine


@njit(cache=True, nogil=True, error_model="numpy")
def _stage(code, d, theta, sign):
    """The same at any angle by itself: drive, brake, coordinate, slope."""
    alpha = theta - d[7]
    drive, brake, coordinate, slope, _, _ = _terms(
        code, d, math.sin(alpha), math.cos(alpha), math.cos(theta), sign, False, 0.0, 0.0, 0.0
    )
    return drive, brake, coordinate, slope


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def _hermite(x0, x1, y0, y1, s0, s1, x):
    width = x1 - x0
    t = (x - x0) / width if width > 0.0 else 1.0
    rest = 1.0 - t
    return y0 * (1.0 + 2.0 * t) * rest * rest + y1 * t * t * (3.0 - 2.0 * t) + width * t * rest * (s0 * rest - s1 * t)


@njit(cache=True, nogil=True, error_model="numpy")
def _flying(x, apart, square, weight, drag):
    """Square of the jaw rate in free flight; weight and drag over the inertia."""
    decay = 2.0 * drag
    below = 1.0 + decay * decay
    fade = math.exp(-decay * (x - apart)) if decay > 0.0 else 1.0
    at = (decay * math.cos(x) + math.sin(x)) / below
    from_ = (decay * math.cos(apart) + math.sin(apart)) / below
    return fade * square - 2.0 * weight * (at - fade * from_)


@njit(cache=True, nogil=True, error_model="numpy")
def _flight_time(start, end, apart, square, weight, drag, points, weights):
    total = 0.0
    for k in range(points.shape[0]):
        speed = _flying(start + (end - start) * points[k], apart, square, weight, drag)
        total += weights[k] / math.sqrt(speed) if speed > 0.0 else math.nan
    return total * (end - start)


@njit(cache=True, nogil=True, error_model="numpy")
def _push(code, d, x, square):
    """Torque with which the loop drives the jaw at one angle and squared rate."""
    drive, brake, _, _ = _stage(code, d, x, 0.0)
    return 0.5 * d[17] * (drive - brake * square) + d[19] * square + d[18] * math.cos(x)


@njit(cache=True, nogil=True, error_model="numpy")
def _crossing(code, d, x0, x1, y0, y1, s0, s1, f_low, f_high):
    """Angle at which that torque, known at both ends, falls to nothing (Illinois rule)."""
    low, high = x0, x1
    for _ in range(CROSSING_STEPS):
        middle = low + min(max(f_low / (f_low - f_high), 0.0), 1.0) * (high - low)
        found = _push(code, d, middle, _hermite(x0, x1, y0, y1, s0, s1, middle))
        if found > 0.0:
            low, f_low, f_high = middle, found, 0.5 * f_high
        else:
            high, f_low, f_high = middle, 0.5 * f_low, found
    return low + min(max(f_low / (f_low - f_high), 0.0), 1.0) * (high - low)


@njit(cache=True, nogil=True, error_model="numpy")
def _one(code, d, nodes, first, points, weights, work, out):
    """Close one design; `out` in the order of ANSWERS, the motion in rows 0 (angle) and 5 (time) of `work`."""
    theta, pace, slope, square, run, clock, coordinates, driven, levels = (
        work[0], work[1], work[2], work[3], work[4], work[5], work[6], work[7], work[8],
    )  # fmt: skip
    jaw, weight, drag = d[17], d[18], d[19]
    start = d[8]
    half = 0.5 * max(d[16] - d[14], 0.0) - d[6]
    end = math.acos(half / math.sqrt(d[5] * d[5] + d[4] * d[4])) - math.atan2(d[4], d[5])
    if code == 1:
        top = d[12] + d[13]
        upright = math.asin(d[2] / math.sqrt(d[1] * d[1] + top * top)) + math.atan2(top, d[1]) + d[7]
    else:
        upright = 0.5 * math.pi + d[7]
    last = min(end, upright - _EDGE)
    span = last - start
    turning = math.asin(d[2] / d[1]) + d[7]
    turn = min(max(turning, start + _MARGIN * span), last - _MARGIN * span)
    second = nodes - first
    h1, h2 = 1.0 / (first - 1), 1.0 / (second - 1)
    bevel_sine, bevel_cosine = math.sin(d[7]), math.cos(d[7])
    coordinate, lever_cosine, lever_sine = 0.0, 0.0, 0.0
    # Sine and cosine of the bearing angle go from node to node by turning, anew at the head of each piece.
    sine, cosine = math.sin(start - d[7]), math.cos(start - d[7])
    grows = (turn - start) * h1 * h1
    step_sine, step_cosine = math.sin(grows), math.cos(grows)
    more_sine, more_cosine = math.sin(2.0 * grows), math.cos(2.0 * grows)
    drive0, last_rise = 0.0, 0.0
    for k in range(nodes):
        if k < first:
            x = k * h1
            angle, speed = start + (turn - start) * x * x, 2.0 * (turn - start) * x
        else:
            angle, speed = turn + (last - turn) * ((k - first) * h2), last - turn
        if k == first:
            sine, cosine = math.sin(turn - d[7]), math.cos(turn - d[7])
            step_sine, step_cosine = math.sin((last - turn) * h2), math.cos((last - turn) * h2)
            more_sine, more_cosine = 0.0, 1.0
        away = angle - turning
        if abs(away) < 1e-9:
            sign = -1.0 if k < first else 1.0
        else:
            sign = 1.0 if away > 0.0 else -1.0
        level = cosine * bevel_cosine - sine * bevel_sine
        drive, brake, coordinate, rise, lever_cosine, lever_sine = _terms(
            code, d, sine, cosine, level, sign, k > 0, coordinate, lever_cosine, lever_sine
        )
        if k == 0:
            drive0 = drive
        theta[k], pace[k], slope[k], square[k], coordinates[k] = angle, speed, drive, brake, coordinate
        levels[k] = level
        run[k] = brake * speed
        last_rise = rise
        sine, cosine = sine * step_cosine + cosine * step_sine, cosine * step_cosine - sine * step_sine
        step_sine, step_cosine = (
            step_sine * more_cosine + step_cosine * more_sine,
            step_cosine * more_cosine - step_sine * more_sine,
        )
    # run holds the integrand of the exponent, clock the exponent itself.
    _running(run, 0, first, h1, 0.0, clock)
    _running(run, first, nodes, h2, clock[first - 1], clock)
    for k in range(nodes):
        growth = math.exp(clock[k])
        clock[k] = growth
        run[k] = growth * slope[k] * pace[k]
    _running(run, 0, first, h1, 0.0, driven)
    _running(run, first, nodes, h2, driven[first - 1], driven)
    damping = 0.0
    leaves = nodes
    torque, pushes = 0.0, 0.0
    stalls = not drive0 > 0.0
    for k in range(nodes):
        y = driven[k] / clock[k]
        slope[k] -= square[k] * y
        square[k] = y
        if leaves == nodes:
            torque = 0.5 * jaw * slope[k] + drag * y + weight * levels[k]
            if k > 0 and torque >= 0.0:
                pushes = torque
            if k > 0 and torque < 0.0:
                leaves = k
            else:
                if k > 0 and not y > 0.0:
                    stalls = True
                damping = max(damping, abs(2.0 * drag / jaw * pace[k]))
    separates = leaves < nodes or last < end
    inside = min(leaves, nodes - 1)
    x0, x1 = theta[inside - 1], theta[inside]
    y0, y1, s0, s1 = square[inside - 1], square[inside], slope[inside - 1], slope[inside]
    apart = _crossing(code, d, x0, x1, y0, y1, s0, s1, pushes, torque) if leaves < nodes else last
    flight_square = _hermite(x0, x1, y0, y1, s0, s1, apart)
    w, g = weight / jaw, drag / jaw
    for k in range(nodes):
        y = square[k] if k < leaves else max(_flying(theta[k], apart, flight_square, w, g), 0.0)
        run[k] = pace[k] / math.sqrt(y) if y > 0.0 else 0.0
    run[0] = 2.0 * math.sqrt((theta[first - 1] - theta[0]) / drive0)
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
        at_first = before + _flight_time(apart, x1, apart, flight_square, w, g, points, weights)
        shift = at_first - clock[inside]
        for k in range(leaves, nodes):
            clock[k] += shift
    else:
        before = clock[nodes - 1]
    if separates:
        y_end = _flying(end, apart, flight_square, w, g)
        time = before + _flight_time(apart, end, apart, flight_square, w, g, points, weights)
    else:
        y_end, time = square[nodes - 1], clock[nodes - 1]
    stalls = stalls or not y_end > 0.0 or not math.isfinite(time)

    _, _, part, part_slope = _stage(code, d, apart, 0.0)
    quick = part_slope * math.sqrt(max(flight_square, 0.0))
    _, _, seat, _ = _stage(code, d, min(end, upright - _EDGE), 0.0)
    free = d[10]
    frequency = math.sqrt(d[9] / d[11])
    gap = max(free - part, 0.0)
    spent = (0.5 * math.pi - math.atan2(quick, frequency * gap) + 0.0) / frequency
    amplitude = math.sqrt((gap * frequency) ** 2 + quick * quick)
    near = 1e-2 * (free - coordinates[0])
    ahead = False
    for k in range(leaves, nodes):
        if theta[k] > apart:
            gone = clock[k] - before
            if gone > spent:
                at = free + amplitude * (gone - spent)
            else:
                swing = min(gone, max(spent, 0.0))
                at = free - gap * math.cos(frequency * swing) + quick / frequency * math.sin(frequency * swing)
            ahead = ahead or at - coordinates[k] > near
    out[0], out[1], out[2] = time, end, y_end
    out[3] = apart if separates else math.nan
    out[4], out[5], out[6], out[7] = before, part, quick, seat
    out[8] = d[0] * 0.5 * d[11] * last_rise * last_rise * square[nodes - 1]
    out[9] = 1.0 if ahead and separates else 0.0
    out[10] = 1.0 if stalls else 0.0
    out[11] = damping / (first - 1)
    out[12] = 1.0 if separates else 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def _many(code, designs, nodes, first, points, weights, out, angles, times):
    """Close designs one after the other; keeps the motion where `angles` has rows."""
    work = np.empty((9, nodes))
    for row in range(designs.shape[0]):
        _one(code, designs[row], nodes, first, points, weights, work, out[row])
        if angles.shape[0]:
            angles[row, :] = work[0]
            times[row, :] = work[5]


def close_many(
    code: int, designs: Floats, *, nodes: int, first: int, motion: bool = True, workers: int | None = None
) -> tuple[Floats, Floats, Floats]:
    """Close n designs, on all cores unless told otherwise.

    Parameters
    ----------
    code : int
        0 long-spring, 1 lever with a round eye, 2 lever with a slot.
    designs : shape (n, len(COLUMNS))
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
    count = designs.shape[0]
    out = np.empty((count, len(ANSWERS)))
    kept = count if motion else 0
    angles, times = np.empty((kept, nodes)), np.empty((kept, nodes))
    threads = max(1, min(workers or os.cpu_count() or 1, -(-count // _BLOCK)))
    cuts = np.linspace(0, count, threads + 1).astype(int)

    def part(low: int, high: int) -> None:
        rows = slice(low, high) if motion else slice(0, 0)
        _many(code, designs[low:high], nodes, first, POINTS, WEIGHTS, out[low:high], angles[rows], times[rows])

    if threads == 1:
        part(0, count)
    else:
        with ThreadPoolExecutor(threads) as pool:
            list(pool.map(part, cuts[:-1].tolist(), cuts[1:].tolist()))
    return out, angles, times
