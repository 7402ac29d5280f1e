"""The compiled closing up to the square of the jaw rate: the same terms as `plain`, over lanes side by side."""

from __future__ import annotations

import math

import llvmlite.binding
from numba import njit

# Loops over lanes read and write some thirty rows: without this the compiler deems it too dear to show them apart.
llvmlite.binding.set_option("", "-vectorize-memory-check-threshold=5000")

# Rows of the table of designs that the compiled loop reads.
COLUMNS = (
    "loops", "clearance", "loop_clearance", "bearing_offset", "face_offset", "height", "hinge_half_distance",
    "bevel", "set_angle", "spring_rate", "free_coordinate", "loop_inertia", "lever_length",
    "pivot_height", "offset_gap", "friction", "limb", "inertia", "weight", "drag",
)  # fmt: skip
LOOPS, B, C, T_E, T_F, H, A, PSI, SET, RATE, FREE, MASS, LENGTH, PIVOT, GAP, MU, LIMB, JAW, WEIGHT, DRAG = range(20)
LONG_CODE, ROUND_CODE, SLOT_CODE = 0, 1, 2

LANES = 128
EDGE = 1e-4
_MARGIN = 0.02
# Tangent of half a turn of the lever up to which the series gives the turn to 1e-13.
_SHORT = 0.48
# Rows of what runs along with the nodes: angles of each piece, sines that turn, the lever at the last node.
LAST, TURN, _TURNING, END, UPRIGHT = range(5)
_SIN, _COS, _STEP_SIN, _STEP_COS, _MORE_SIN, _MORE_COS, _BEVEL_SIN, _BEVEL_COS = range(5, 13)
_KNOWN, _KNOWN_COS, _KNOWN_SIN, _WORST, RISE = range(13, 18)
FOLLOWED = 18

plain_code = njit(cache=True, nogil=True, error_model="numpy")
inline_code = njit(cache=True, nogil=True, error_model="numpy", inline="always")


@inline_code
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


@inline_code
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


@plain_code
def stage(code, p, i, theta, sign):
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


@plain_code
def ends(code, p, q, count, h1):
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
        last = min(end, upright - EDGE)
        span = last - start
        turning = math.asin(p[C, i] / p[B, i]) + p[PSI, i]
        turn = min(max(turning, start + _MARGIN * span), last - _MARGIN * span)
        q[LAST, i], q[TURN, i], q[_TURNING, i], q[END, i], q[UPRIGHT, i] = last, turn, turning, end, upright
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


@plain_code
def _second_piece(p, q, count, h2):
    """Sines and cosines anew at the head of the second piece."""
    for i in range(count):
        step = (q[LAST, i] - q[TURN, i]) * h2
        q[_SIN, i], q[_COS, i] = math.sin(q[TURN, i] - p[PSI, i]), math.cos(q[TURN, i] - p[PSI, i])
        q[_STEP_SIN, i], q[_STEP_COS, i] = math.sin(step), math.cos(step)
        q[_MORE_SIN, i], q[_MORE_COS, i] = 0.0, 1.0


@inline_code
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


@inline_code
def _node(code, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    """One node of all lanes: `base` is the angle row that it is counted from, `share` of the way to the next one."""
    for i in range(count):
        low = p[SET, i] if base == 0 else q[TURN, i]
        high = q[TURN, i] if base == 0 else q[LAST, i]
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
        coordinates[i], levels[i], q[RISE, i] = coordinate, level, slope
        step_sine, step_cosine = q[_STEP_SIN, i], q[_STEP_COS, i]
        more_sine, more_cosine = q[_MORE_SIN, i], q[_MORE_COS, i]
        q[_SIN, i], q[_COS, i] = sine * step_cosine + cosine * step_sine, cosine * step_cosine - sine * step_sine
        q[_STEP_SIN, i] = step_sine * more_cosine + step_cosine * more_sine
        q[_STEP_COS, i] = step_cosine * more_cosine - step_sine * more_sine


@plain_code
def _node_long(p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    _node(0, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels)


@plain_code
def _node_round(p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    _node(1, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels)


@plain_code
def _node_slot(p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels):
    _node(2, p, q, count, base, share, speed_share, side, theta, pace, drive, brake, coordinates, levels)


@plain_code
def all_nodes(code, p, q, count, nodes, first, h1, h2, w):
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
                w[2, k, i], w[3, k, i], w[4, k, i], q[RISE, i] = stage(code, p, i, w[0, k, i], sign)


@plain_code
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


@plain_code
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


@plain_code
def squares(count, nodes, first, h1, h2, w, v, zero, total):
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
