"""Setting a trap step by step: coil-spring with the feet, long-spring over the knee or under the heel."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from setwright.draw import svg, trap_plan_parts
from setwright.draw.hand_place import end_of_set
from setwright.draw.limbs import boot_from_front, knee
from setwright.draw.plate import Given, Panel, Plate, arrow, ground_line, panels
from setwright.draw.trap_frame import figure, refusal
from setwright.draw.trap_shape import TrapShape
from setwright.draw.trap_side import DOWN, UP, pressed_at, side_view, tip_of

COLUMNS, TALL, LEAST, WORDS = 2, 132.0, 62.0, 84.0
CLOSED = math.radians(82.0)


def setting_coil(given: Given) -> str:
    """Six steps of setting a coil-spring with both feet or two setters."""
    title = given.say("Setting a coil-spring, step by step")
    shape = given.coil
    if shape is None:
        return refusal(given.width, title, given.say("No drawing: no coil-spring is described."))
    say = given.say
    steps = [
        Panel(say("Flat, firm ground. Both feet, or two setters, on both levers."), _pressing(shape, UP, CLOSED)),
        Panel(say("Press both down together. Open the jaws with a tool, not a hand."), _pressing(shape, DOWN, 0.0)),
        Panel(say("From outside, fold the dog over the near jaw."), _dog_over(shape)),
        Panel(say("Outside and below, under the loose jaw: lift the pan to the dog."), _lift(shape)),
        Panel(say("Ease one foot off, then the other. Hands stay away."), _easing(shape)),
        Panel(say("Look: dog in the notch, loose jaw flat, pan level."), _look(shape)),
    ]
    return _sheet(given, title, steps)


def setting_long(given: Given) -> str:
    """Six steps of setting a long-spring."""
    title = given.say("Setting a long-spring, step by step")
    shape = given.long
    if shape is None:
        return refusal(given.width, title, given.say("No drawing: no long-spring is described."))
    say = given.say
    steps = [
        Panel(say("A small trap: spring over the knee, both hands press it shut."), _over_knee(shape)),
        Panel(say("A larger one: heel, both feet or setters on the springs."), _pressing(shape, UP, CLOSED)),
        Panel(say("Springs flat: swing them to the dog side, so the loose jaw lies flat."), _swung(shape)),
        Panel(say("From outside, fold the dog over the near jaw."), _dog_over(shape)),
        Panel(say("Outside and below, under the loose jaw: lift the pan to the dog."), _lift(shape)),
        Panel(say("Ease the springs one by one. Look: dog, loose jaw, pan level."), _look(shape)),
    ]
    return _sheet(given, title, steps)


def _sheet(given: Given, title: str, steps: Sequence[Panel]) -> str:
    columns = 3 if given.width >= 420.0 else COLUMNS
    rows = -(-len(steps) // columns)
    tall = min(max(given.tallest / rows - WORDS, LEAST), TALL)
    body, high = panels(given.width, tall, steps, columns)
    return figure(given.width, high, body, title, " ".join(f"{k + 1}. {one.caption}" for k, one in enumerate(steps)))


def fitted(
    left: float, top: float, width: float, height: float, bounds: tuple[float, float, float, float]
) -> svg.Scale:
    """The scale at which world bounds (left, low, right, high) fit a box, with their lower edge on its floor."""
    west, low, east, high = bounds
    per_metre = min(width / (east - west), height / (high - low))
    spare = 0.5 * (width - (east - west) * per_metre)
    return svg.Scale(west, low, per_metre, left + spare, top + height)


Box = Callable[[float, float, float, float], Sequence[str]]


def opening(given: Given) -> str:
    """Opening a trap that holds something: both levers, or both springs, pressed at once."""
    say = given.say
    title = say("Opening a trap")
    if given.coil is None or given.long is None:
        return refusal(given.width, title, say("No drawing: no trap is described."))
    shown = [
        Panel(say("Coil-spring: a foot on each lever, both at once."), _opened(given, given.coil, "lever")),
        Panel(say("Long-spring: press each spring close to the jaws."), _opened(given, given.long, "spring")),
    ]
    body, high = panels(given.width, min(max(0.36 * given.tallest, 70.0), 150.0), shown, 2, numbered=False)
    return figure(given.width, high, body, title, " ".join(one.caption for one in shown))


def _opened(given: Given, shape: TrapShape, words: str) -> Box:
    """A trap pressed down with its jaws fallen open, and the name of what is pressed."""

    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        half = _half(shape)
        plate = Plate(fitted(left, top + 16.0, width, height - 26.0, (-half, 0.0, half, 0.17)))
        ground_line(plate, -half, half)
        for side in (-1.0, 1.0) if shape.family == "coil" or shape.springs == 2 else (-1.0,):
            at = tip_of(shape, side, DOWN)
            boot_from_front(plate, at)
            plate.arrow((at[0], at[1] + 0.11), (at[0], at[1] + 0.03))
        # The boots stand behind, so that what they press is seen whole.
        side_view(plate, shape, (DOWN, DOWN), 0.0)
        if shape.family == "coil":
            plate.name("lever", given.say(words), pressed_at(shape, 0.96))
        else:
            plate.name("leaf", given.say(words), pressed_at(shape, 0.9))
        plate.name("jaw", given.say("jaws, open"), (0.0, shape.rise))
        plate.over(top - 2.0, left, left + width)
        return plate.body

    return draw


def _half(shape: TrapShape) -> float:
    if shape.family == "coil":
        return max(trap_plan_parts.lever_tip(shape), shape.base_half_length) + 0.05
    return shape.end + (shape.leaf_arm or shape.spread) + 2.0 * (shape.leaf_bend or 0.01)


def _pressing(shape: TrapShape, share: float, angle: float) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        half = _half(shape)
        high = max(shape.rise + (shape.height + shape.face_width) * math.sin(angle), 0.16) + 0.01
        plate = Plate(fitted(left, top, width, height - 10.0, (-half, 0.0, half, high)))
        ground_line(plate, -half, half)
        side_view(plate, shape, (share, share), angle)
        sides = (-1.0, 1.0) if shape.family == "coil" or shape.springs == 2 else (-1.0,)
        for side in sides:
            at = tip_of(shape, side, share)
            boot_from_front(plate, at)
            plate.arrow((at[0], at[1] + 0.11), (at[0], at[1] + 0.03))
        return plate.body

    return draw


def _easing(shape: TrapShape) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        half = _half(shape)
        plate = Plate(fitted(left, top, width, height - 10.0, (-half, 0.0, half, 0.2)))
        ground_line(plate, -half, half)
        side_view(plate, shape, (DOWN, DOWN), 0.0)
        still, lifted = tip_of(shape, -1.0, DOWN), tip_of(shape, 1.0, DOWN)
        boot_from_front(plate, still)
        boot_from_front(plate, (lifted[0], lifted[1] + 0.045))
        plate.arrow((lifted[0], lifted[1] + 0.08), (lifted[0], lifted[1] + 0.15))
        return plate.body

    return draw


def _dog_over(shape: TrapShape) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = end_of_set(shape, left, top, width, height, hand="dog")
        return plate.body

    return draw


def _lift(shape: TrapShape) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = end_of_set(shape, left, top, width, height, hand="pan")
        return plate.body

    return draw


def _look(shape: TrapShape) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = end_of_set(shape, left, top, width, height, hand="none")
        level = shape.rise + 0.5 * shape.leg_thickness
        reach = shape.hinge_half_distance + shape.outer + 0.03
        plate.add(plate.line([(-reach, level), (reach, level)], "g thin dash"))
        return plate.body

    return draw


def _swung(shape: TrapShape) -> Box:
    turned = replace(shape, leaf_turn=math.radians(50.0), swivel_place=None)

    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        half = _half(shape)
        outer = trap_plan_parts.reach_of(turned)[1] + 0.02
        scale = fitted(left, top, width, height, (-half, -outer, half, outer + 0.09))
        body = [*trap_plan_parts.frame(scale, turned)]
        for side in (-1.0, 1.0) if turned.springs == 2 else (-1.0,):
            body += trap_plan_parts.leaf(scale, turned, side)
        body += trap_plan_parts.uprights(scale, turned)
        for side in (-1.0, 1.0):
            body += trap_plan_parts.jaw(scale, turned, side)
        body += [*trap_plan_parts.pan(scale, turned), *trap_plan_parts.dog(scale, turned)]
        for side in (-1.0, 1.0) if turned.springs == 2 else (-1.0,):
            start, end = scale.at((side * 0.95 * half, 0.005)), scale.at((side * 0.8 * half, 0.08))
            body += arrow(start, end, "thin")
        return body

    return draw


def _over_knee(shape: TrapShape) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        scale = fitted(left, top, width, height, (-_half(shape) - 0.01, -0.17, shape.end + 0.05, 0.13))
        plate = Plate(scale)
        at = -(shape.end + 0.35 * (shape.leaf_arm or shape.spread))
        knee(plate, (at, 0.0))
        side_view(plate, replace(shape, springs=1), (0.35, 0.35), 0.75 * CLOSED)
        x, z = tip_of(replace(shape, springs=1), -1.0, 0.35)
        for aside in (-0.035, 0.045):
            plate.arrow((x + aside, z + 0.1), (x + aside, z + 0.012))
        return plate.body

    return draw
