"""The closing of many designs, compiled: the same sums as `plain`, over lanes of designs side by side."""

from __future__ import annotations

import math
import os
from concurrent.futures import ThreadPoolExecutor

import llvmlite.binding
import numpy as np
from numba import njit

from setwright.trap.model import Floats
from setwright.trap.quadrature import CROSSING_STEPS, POINTS, WEIGHTS

# Loops over lanes read and write some thirty rows: without this the compiler deems it too dear to show them apart.
llvmlite.binding.set_option("", "-vectorize-memory-check-threshold=5000")

# Rows of the table of designs that the compiled loop reads.
COLUMNS = (
    "loops", "clearance", "loop_clearance", "bearing_offset", "face_offset", "height", "hinge_half_distance",
    "bevel", "set_angle", "spring_rate", "free_coordinate", "loop_inertia", "lever_length",
    "pivot_height", "offset_gap", "friction", "limb", "inertia", "weight", "drag",
)  # fmt: skip
LOOPS, B, C, T_E, T_F, H, A, PSI, SET, RATE, FREE, MASS, LENGTH, PIVOT, GAP, MU, LIMB, JAW, WEIGHT, DRAG = range(20)
# Columns of its answer.
ANSWERS = (
    "time", "angle", "square", "separation", "parted", "part", "pace", "seat", "together", "ahead", "stalls",
    "damping", "separates",
)  # fmt: skip
LONG_CODE, ROUND_CODE, SLOT_CODE = 0, 1, 2

LANES = 128
_EDGE = 1e-4
_MARGIN = 0.02
# Tangent of half a turn of the lever up to which the series gives the turn to 1e-13.
_SHORT = 0.48
# Rows of what runs along with the nodes: angles of each piece, sines that turn, the lever at the last node.
_LAST, _TURN, _TURNING, _END, _UPRIGHT = range(5)
_SIN, _COS, _STEP_SIN, _STEP_COS, _MORE_SIN, _MORE_COS, _BEVEL_SIN, _BEVEL_COS = range(5, 13)
_KNOWN, _KNOWN_COS, _KNOWN_SIN, _WORST, _RISE = range(13, 18)
_FOLLOWED = 18

_plain = njit(cache=True, nogil=True, error_model="numpy")
_inline = njit(cache=True, nogil=True, error_model="numpy", inline="always")


@_inline
def _loop(code, p, i, sine, cosine):
    """Reach, slide, rise and curve of the loop, cosine and sine of its lever."""
    secant = 1.0 / cosine
    reach = (p[B, i] - p[C, i] * sine) * secant
    height = (p[B, i] * sine - p[C, i]) * secant
    rise = reach * secant
    curve = (2.0 * reach * sine - p[C, i] * cosine) * secant * secant
    if code == 0:
        return reach, height * secant, rise, curve, 1.0, height
    slant = (height - p[PIVOT, i]) / p[LENGTH, i]
    if code == 1:
        square = 1.0 - slant * slant
        return reach, height * secant, rise, curve, math.sqrt(square if square > 1e-18 else 1e-18), slant
    lever_cosine = 1.0 / math.sqrt(1.0 + slant * slant)
    return reach, height * secant, rise, curve, lever_cosine, slant * lever_cosine


@_inline
def _terms(code, p, i, sine, cosine, level, sign, coordinate, reach, slide, rise, curve, lever_cosine, lever_sine):
    """Drive and brake of y' = drive − brake y, and the slope of the loop coordinate."""
    mu, length = p[MU, i], p[LENGTH, i]
    if code == 0:
        slope, bend = rise, curve
        effort = cosine + mu * sign * sine
        arm = reach + mu * sign * p[T_E, i]
    elif code == 1:
        upright = length * lever_cosine
        inverse = 1.0 / upright
        slope = rise * inverse
        bend = (curve + slope * slope * lever_sine * length) * inverse
        runs = length * abs(lever_sine) * slope
        share = 1.0 / math.sqrt(slide * slide + runs * runs + 1e-300)
        along, across = slide * share, runs * share
        effort = (cosine + mu * along * sine) * upright + mu * across * length * abs(lever_sine)
        arm = reach + mu * along * p[T_E, i]
    else:
        square = lever_cosine * lever_cosine
        slant = lever_sine / lever_cosine
        slope = rise * square / length
        bend = curve * square / length - 2.0 * slope * slope * slant
        runs = length * abs(slant) * slope / lever_cosine
        share = 1.0 / math.sqrt(slide * slide + runs * runs - 2.0 * slide * runs * sine * abs(lever_sine) + 1e-300)
        askew = math.sqrt(1.0 + cosine * cosine * slant * slant)
        along, across = askew * slide * share, askew * runs * share
        effort = length * (cosine / square + mu * along * sine)
        down = across * abs(lever_sine)
        arm = reach + mu * ((along - down * sine) * p[T_E, i] - down * cosine * reach)
    ratio = 2.0 * effort / arm
    mass = p[LOOPS, i] * p[MASS, i]
    inertia = 2.0 / (mass * slope + ratio * p[JAW, i])
    effort_left = p[RATE, i] * (p[FREE, i] - coordinate)
    force = effort_left if effort_left > 0.0 else 0.0
    drive = (p[LOOPS, i] * force - ratio * p[WEIGHT, i] * level) * inertia
    brake = (mass * bend + ratio * p[DRAG, i]) * inertia
    return drive, brake, slope


@_plain
def _stage(code, p, i, theta, sign):
    """The same at any angle of one design by itself: drive, brake, coordinate, slope."""
    alpha = theta - p[PSI, i]
    sine, cosine = math.sin(alpha), math.cos(alpha)
    reach, slide, rise, curve, lever_cosine, lever_sine = _loop(code, p, i, sine, cosine)
    coordinate = lever_sine if code == 0 else math.atan2(lever_sine, lever_cosine)
    if code == 0 and sign == 0.0:
        sign = 1.0 if slide > 0.0 else (-1.0 if slide < 0.0 else 0.0)
    drive, brake, slope = _terms(
        code, p, i, sine, cosine, math.cos(theta), sign, coordinate, reach, slide, rise, curve, lever_cosine,
        lever_sine,
    )  # fmt: skip
    return drive, brake, coordinate, slope


@_plain
def _ends(code, p, q, count, h1):
    """Angles at which each design begins, turns and ends, and the sines that run along."""
    for i in range(count):
        start = p[SET, i]
        half = 0.5 * max(p[LIMB, i] - p[GAP, i], 0.0) - p[A, i]
        end = math.acos(half / math.sqrt(p[H, i] * p[H, i] + p[T_F, i] * p[T_F, i])) - math.atan2(p[T_F, i], p[H, i])
        if code == 1:
            top = p[LENGTH, i] + p[PIVOT, i]
            reach = math.sqrt(p[B, i] * p[B, i] + top * top)
            upright = math.asin(p[C, i] / reach) + math.atan2(top, p[B, i]) + p[PSI, i]
        else:
            upright = 0.5 * math.pi + p[PSI, i]
        last = min(end, upright - _EDGE)
        span = last - start
        turning = math.asin(p[C, i] / p[B, i]) + p[PSI, i]
        turn = min(max(turning, start + _MARGIN * span), last - _MARGIN * span)
        q[_LAST, i], q[_TURN, i], q[_TURNING, i], q[_END, i], q[_UPRIGHT, i] = last, turn, turning, end, upright
        grows = (turn - start) * h1 * h1
        q[_SIN, i], q[_COS, i] = math.sin(start - p[PSI, i]), math.cos(start - p[PSI, i])
        sine, cosine = math.sin(grows), math.cos(grows)
        q[_STEP_SIN, i], q[_STEP_COS, i] = sine, cosine
        q[_MORE_SIN, i], q[_MORE_COS, i] = 2.0 * sine * cosine, 1.0 - 2.0 * sine * sine
        q[_BEVEL_SIN, i], q[_BEVEL_COS, i] = math.sin(p[PSI, i]), math.cos(p[PSI, i])
        q[_WORST, i] = 0.0
        _, _, _, _, lever_cosine, lever_sine = _loop(code, p, i, q[_SIN, i], q[_COS, i])
        q[_KNOWN, i], q[_KNOWN_COS, i], q[_KNOWN_SIN, i] = (
            math.atan2(lever_sine, lever_cosine),
            lever_cosine,
            lever_sine,
        )


@_plain
def _second_piece(p, q, count, h2):
    """Sines and cosines anew at the head of the second piece."""
    for i in range(count):
        step = (q[_LAST, i] - q[_TURN, i]) * h2
        q[_SIN, i], q[_COS, i] = math.sin(q[_TURN, i] - p[PSI, i]), math.cos(q[_TURN, i] - p[PSI, i])
        q[_STEP_SIN, i], q[_STEP_COS, i] = math.sin(step), math.cos(step)
        q[_MORE_SIN, i], q[_MORE_COS, i] = 0.0, 1.0


@_inline
def _arc(tangent):
    """Arc of a tangent of at most a quarter, by its series."""
    z = -tangent * tangent
    return tangent * (
        1.0
        + z
        * (
            1 / 3
            + z
            * (1 / 5 + z * (1 / 7 + z * (1 / 9 + z * (1 / 11 + z * (1 / 13 + z * (1 / 15 + z * (1 / 17 + z / 19)))))))
        )
    )


@_inline
def _node(code, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    """One node of all lanes: `base` is the angle row that it is counted from, `share` of the way to the next one."""
    for i in range(count):
        low = p[SET, i] if base == 0 else q[_TURN, i]
        high = q[_TURN, i] if base == 0 else q[_LAST, i]
        angle = low + (high - low) * share
        sine, cosine = q[_SIN, i], q[_COS, i]
        level = cosine * q[_BEVEL_COS, i] - sine * q[_BEVEL_SIN, i]
        away = angle - q[_TURNING, i]
        sign = 1.0 if away >= 1e-9 else (-1.0 if away <= -1e-9 else side)
        reach, slide, rise, curve, lever_cosine, lever_sine = _loop(code, p, i, sine, cosine)
        if code == 0:
            coordinate = lever_sine
        else:
            # Tangent of half the turn since the last node, then of a quarter, then the series of the arc.
            turned = (lever_sine * q[_KNOWN_COS, i] - lever_cosine * q[_KNOWN_SIN, i]) / (
                1.0 + lever_cosine * q[_KNOWN_COS, i] + lever_sine * q[_KNOWN_SIN, i]
            )
            quarter = turned / (1.0 + math.sqrt(1.0 + turned * turned))
            coordinate = q[_KNOWN, i] + 4.0 * _arc(quarter)
            far = abs(turned)
            q[_WORST, i] = far if far > q[_WORST, i] else q[_WORST, i]
            q[_KNOWN, i], q[_KNOWN_COS, i], q[_KNOWN_SIN, i] = coordinate, lever_cosine, lever_sine
        found, against, slope = _terms(
            code, p, i, sine, cosine, level, sign, coordinate, reach, slide, rise, curve, lever_cosine, lever_sine
        )
        theta[i], pace[i], drive[i], brake[i] = angle, (high - low) * speed_share, found, against
        coordinates[i], levels[i], q[_RISE, i] = coordinate, level, slope
        step_sine, step_cosine = q[_STEP_SIN, i], q[_STEP_COS, i]
        more_sine, more_cosine = q[_MORE_SIN, i], q[_MORE_COS, i]
        q[_SIN, i], q[_COS, i] = sine * step_cosine + cosine * step_sine, cosine * step_cosine - sine * step_sine
        q[_STEP_SIN, i] = step_sine * more_cosine + step_cosine * more_sine
        q[_STEP_COS, i] = step_cosine * more_cosine - step_sine * more_sine


@_plain
def _node_long(p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    _node(0, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels)


@_plain
def _node_round(p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    _node(1, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels)


@_plain
def _node_slot(p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    _node(2, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels)


@_plain
def _nodes(code, p, q, count, nodes, first, h1, h2, w):
    """All nodes of all lanes; rows of `w`: angle, dθ/dx, drive, brake, loop coordinate, cosine of the jaw angle."""
    for k in range(nodes):
        if k == first:
            _second_piece(p, q, count, h2)
        if k < first:
            x = k * h1
            base, share, speed_share, side = 0, x * x, 2.0 * x, -1.0
        else:
            base, share, speed_share, side = 1, (k - first) * h2, 1.0, 1.0
        if code == 0:
            _node_long(
                p, q, count, base, share, speed_share, side, w[0, k], w[1, k], w[2, k], w[3, k], w[4, k], w[5, k]
            )
        elif code == 1:
            _node_round(
                p, q, count, base, share, speed_share, side, w[0, k], w[1, k], w[2, k], w[3, k], w[4, k], w[5, k]
            )
        else:
            _node_slot(
                p, q, count, base, share, speed_share, side, w[0, k], w[1, k], w[2, k], w[3, k], w[4, k], w[5, k]
            )
    for i in range(count):
        # The series was too short for a lever that turns far between two nodes.
        if code > 0 and not q[_WORST, i] < _SHORT:
            for k in range(nodes):
                sign = 1.0 if w[0, k, i] > q[_TURNING, i] else -1.0
                w[2, k, i], w[3, k, i], w[4, k, i], q[_RISE, i] = _stage(code, p, i, w[0, k, i], sign)


@_plain
def _exponential(rows, out):
    """E to the power of every entry, side by side; for powers of some tens at most."""
    for i in range(rows.shape[0]):
        x = rows[i] * (1.0 / 256.0)
        y = 1.0 + x * (1.0 + x * (1 / 2 + x * (1 / 6 + x * (1 / 24 + x * (1 / 120 + x * (1 / 720 + x / 5040.0))))))
        y *= y
        y *= y
        y *= y
        y *= y
        y *= y
        y *= y
        y *= y
        out[i] = y * y


@_plain
def _sum_lanes(count, low, high, step, values, total, before, out):
    """Running integrals of rows low to high, to fourth order, from the row `before` on."""
    share = step / 24.0
    for i in range(count):
        out[low, i] = before[i]
        total[i] = 9.0 * values[low, i] + 19.0 * values[low + 1, i] - 5.0 * values[low + 2, i] + values[low + 3, i]
        out[low + 1, i] = before[i] + total[i] * share
    for k in range(low + 2, high - 1):
        for i in range(count):
            total[i] += 13.0 * (values[k - 1, i] + values[k, i]) - values[k - 2, i] - values[k + 1, i]
            out[k, i] = before[i] + total[i] * share
    k = high - 1
    for i in range(count):
        total[i] += 9.0 * values[k, i] + 19.0 * values[k - 1, i] - 5.0 * values[k - 2, i] + values[k - 3, i]
        out[k, i] = before[i] + total[i] * share


@_plain
def _squares(count, nodes, first, h1, h2, w, v, zero, total):
    """Square of the jaw rate and its slope at all nodes of all lanes, rows 6 and 7 of `w`; `v` is scratch."""
    for k in range(nodes):
        for i in range(count):
            v[0, k, i] = w[3, k, i] * w[1, k, i]
    _sum_lanes(count, 0, first, h1, v[0], total, zero, v[1])
    _sum_lanes(count, first, nodes, h2, v[0], total, v[1, first - 1], v[1])
    for k in range(nodes):
        _exponential(v[1, k, :count], v[2, k, :count])
    for k in range(nodes):
        for i in range(count):
            v[0, k, i] = v[2, k, i] * w[2, k, i] * w[1, k, i]
    _sum_lanes(count, 0, first, h1, v[0], total, zero, v[1])
    _sum_lanes(count, first, nodes, h2, v[0], total, v[1, first - 1], v[1])
    for k in range(nodes):
        for i in range(count):
            y = v[1, k, i] / v[2, k, i]
            w[6, k, i] = y
            w[7, k, i] = w[2, k, i] - w[3, k, i] * y


@_plain
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


@_plain
def _hermite(x0, x1, y0, y1, s0, s1, x):
    width = x1 - x0
    t = (x - x0) / width if width > 0.0 else 1.0
    rest = 1.0 - t
    return y0 * (1.0 + 2.0 * t) * rest * rest + y1 * t * t * (3.0 - 2.0 * t) + width * t * rest * (s0 * rest - s1 * t)


@_plain
def _flying(x, apart, square, weight, drag):
    """Square of the jaw rate in free flight; weight and drag over the inertia."""
    decay = 2.0 * drag
    below = 1.0 + decay * decay
    fade = math.exp(-decay * (x - apart)) if decay > 0.0 else 1.0
    at = (decay * math.cos(x) + math.sin(x)) / below
    from_ = (decay * math.cos(apart) + math.sin(apart)) / below
    return fade * square - 2.0 * weight * (at - fade * from_)


@_plain
def _flight_time(start, end, apart, square, weight, drag, points, weights):
    total = 0.0
    for k in range(points.shape[0]):
        speed = _flying(start + (end - start) * points[k], apart, square, weight, drag)
        total += weights[k] / math.sqrt(speed) if speed > 0.0 else math.nan
    return total * (end - start)


@_plain
def _push(code, p, i, x, square):
    """Torque with which the loop drives the jaw at one angle and squared rate."""
    drive, brake, _, _ = _stage(code, p, i, x, 0.0)
    return 0.5 * p[JAW, i] * (drive - brake * square) + p[DRAG, i] * square + p[WEIGHT, i] * math.cos(x)


@_plain
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


@_plain
def _one(code, p, q, i, nodes, first, h1, h2, points, weights, w, run, clock, out):
    """Where the jaws of one design leave the loop, and how its motion ends; `out` in the order of ANSWERS."""
    jaw, weight, drag = p[JAW, i], p[WEIGHT, i], p[DRAG, i]
    start, last, end = p[SET, i], q[_LAST, i], q[_END, i]
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
    run[0] = 2.0 * math.sqrt((q[_TURN, i] - start) / drive0)
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

    _, _, part, part_slope = _stage(code, p, i, apart, 0.0)
    quick = part_slope * math.sqrt(max(flight_square, 0.0))
    _, _, seat, _ = _stage(code, p, i, min(end, q[_UPRIGHT, i] - _EDGE), 0.0)
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
    out[8] = p[LOOPS, i] * 0.5 * p[MASS, i] * q[_RISE, i] * q[_RISE, i] * w[6, nodes - 1, i]
    out[9] = 1.0 if ahead and separates else 0.0
    out[10] = 1.0 if stalls else 0.0
    out[11] = damping / (first - 1)
    out[12] = 1.0 if separates else 0.0


@_plain
def _many(code, designs, nodes, first, points, weights, out, angles, times):
    """Close designs, so many side by side; keeps the motion where `angles` has rows."""
    h1, h2 = 1.0 / (first - 1), 1.0 / (nodes - first - 1)
    p, q = np.empty((designs.shape[0], LANES)), np.empty((_FOLLOWED, LANES))
    w, v = np.empty((8, nodes, LANES)), np.empty((3, nodes, LANES))
    zero, total = np.zeros(LANES), np.empty(LANES)
    run, clock = np.empty(nodes), np.empty(nodes)
    for head in range(0, designs.shape[1], LANES):
        count = min(LANES, designs.shape[1] - head)
        p[:, :count] = designs[:, head : head + count]
        _ends(code, p, q, count, h1)
        _nodes(code, p, q, count, nodes, first, h1, h2, w)
        _squares(count, nodes, first, h1, h2, w, v, zero, total)
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
