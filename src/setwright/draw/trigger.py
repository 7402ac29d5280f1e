"""The trigger from near by: dog and dogless, pan level, and a notch that lets go crisply beside one that creeps."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from setwright.draw import svg
from setwright.draw.plate import Given, Panel, Plate, panels
from setwright.draw.trap_frame import figure

# The trigger is drawn in its usual form, three times its size, as shares of this half spread [m].
_REACH = 0.066
_BAR = 0.009
_THICK = 0.0035
Box = Callable[[float, float, float, float], Sequence[str]]


def _scale(left: float, top: float, width: float, height: float, west: float, east: float, high: float) -> svg.Scale:
    per_metre = min(width / (east - west), height / (high + 0.028))
    spare = 0.5 * (width - (east - west) * per_metre)
    return svg.Scale(west, high, per_metre, left + spare, top + height - (high + 0.028) * per_metre)


def _post(plate: Plate, rise: float = 0.0) -> None:
    """Base, post and pan bolt."""
    plate.part("base", plate.area([(-0.03, -0.024), (0.095, -0.024), (0.095, -0.021), (-0.03, -0.021)]))
    plate.part("pan", plate.area([(-0.0018, -0.014), (0.0018, -0.014), (0.0018, rise), (-0.0018, rise)]))
    plate.part("post", plate.area([(-0.004, -0.021), (0.004, -0.021), (0.004, -0.008), (-0.004, -0.008)]))
    plate.part("bolt", plate.disc((0.0, -0.012), 0.0022, "f-i"))


def _pan(plate: Plate, rise: float, tongue: float) -> None:
    """Pan with its tongue to the dog's side, `rise` above the jaws."""
    plate.part("pan", plate.area([(-0.026, rise), (0.024, rise), (0.024, rise + 0.0025), (-0.026, rise + 0.0025)]))
    plate.part("notch", plate.area([(0.024, rise), (tongue, rise), (tongue, rise + 0.0025), (0.024, rise + 0.0025)]))


def _jaw(plate: Plate) -> None:
    """The dogged jaw's bar, cut through, in the plane of the set jaws."""
    bar = [(_REACH - _BAR, -_THICK), (_REACH, -_THICK), (_REACH, _THICK), (_REACH - _BAR, _THICK)]
    plate.part("jaw", plate.area(bar))


def _dog(plate: Plate, tip: float, height: float) -> None:
    """Dog from its post outside the jaw, over the bar, to the notch."""
    over = _THICK + 0.0012
    strip = [
        (tip, height), (_REACH - _BAR - 0.002, over), (0.083, over), (0.083, over + 0.0032),
        (_REACH - _BAR - 0.003, over + 0.0032), (tip, height + 0.0028),
    ]  # fmt: skip
    plate.part("post", plate.area([(0.081, -0.021), (0.085, -0.021), (0.085, over + 0.001), (0.081, over + 0.001)]))
    plate.part("dog", plate.area(strip), plate.disc((0.083, over + 0.001), 0.0018, "f-i"))


def _held(given: Given) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = Plate(_scale(left, top + 44.0, width, height - 44.0, -0.035, 0.1, 0.012))
        _post(plate)
        _pan(plate, 0.0, 0.034)
        _jaw(plate)
        _dog(plate, 0.029, 0.0026)
        names = (
            ("pan", "pan", (-0.015, 0.001)),
            ("notch", "notch", (0.0265, 0.001)),
            ("dog", "dog", (0.045, 0.0048)),
        )
        return _told(plate, given, (*names, ("jaw", "dogged jaw", (0.0615, -0.002))), (left, top, width))

    return draw


def _dogless(given: Given) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = Plate(_scale(left, top + 44.0, width, height - 44.0, -0.035, 0.1, 0.012))
        _post(plate)
        _pan(plate, 0.0, 0.05)
        _jaw(plate)
        hook = [(0.048, 0.0), (0.05, 0.0), (0.053, 0.0045), (0.0625, 0.0045), (0.0625, 0.0072), (0.051, 0.0072)]
        plate.part("notch", plate.area([*hook, (0.048, 0.0025)]))
        names = (("pan", "pan", (-0.015, 0.001)), ("notch", "notch on the pan", (0.0545, 0.0058)))
        return _told(plate, given, (*names, ("jaw", "jaw", (0.0645, 0.0))), (left, top, width))

    return draw


def _told(
    plate: Plate, given: Given, names: Sequence[tuple[str, str, svg.Point]], box: tuple[float, float, float]
) -> list[str]:
    for key, words, at in names:
        plate.name(key, given.say(words), at)
    plate.over(box[1], box[0], box[0] + box[2])
    return plate.body


def trigger(given: Given) -> str:
    """Dog and dogless trigger, set."""
    say = given.say
    shown = [
        Panel(say("With a dog: it crosses one jaw and ends in the pan's notch."), _held(given)),
        Panel(say("Dogless: the pan's own notch holds the jaw."), _dogless(given)),
    ]
    body, high = panels(given.width, min(max(0.5 * given.tallest, 76.0), 130.0), shown, 2, numbered=False)
    title = say("Two kinds of trigger, set")
    return figure(given.width, high, body, title, " ".join(one.caption for one in shown))


def _level(rise: float) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = Plate(_scale(left, top, width, height, -0.085, 0.1, 0.02))
        _post(plate, rise)
        _pan(plate, rise, 0.034)
        _jaw(plate)
        bar = [(-_REACH, -_THICK), (_BAR - _REACH, -_THICK), (_BAR - _REACH, _THICK), (-_REACH, _THICK)]
        plate.part("loose", plate.area(bar))
        _dog(plate, 0.029, rise + 0.0026)
        plate.add(plate.line([(-0.08, _THICK), (0.098, _THICK)], "g thin dash"))
        return plate.body

    return draw


def pan_level(given: Given) -> str:
    """A pan that is level with the jaws, one that stands high, one that hangs low."""
    say = given.say
    shown = [
        Panel(say("Level with the jaws: right."), _level(0.0008)),
        Panel(say("Too high: felt early, toes are taken."), _level(0.011)),
        Panel(say("Too low: the foot meets the jaws first."), _level(-0.009)),
    ]
    body, high = panels(given.width, min(max(0.2 * given.tallest, 56.0), 84.0), shown, 3, numbered=False)
    title = say("Pan level, looked at along the jaws")
    return figure(given.width, high, body, title, " ".join(one.caption for one in shown))


def _notch(given: Given, *, square: bool) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        scale = svg.Scale(-0.012, 0.0105, min(width / 0.034, (height - 20.0) / 0.0165), left + 6.0, top + 20.0)
        plate = Plate(scale)
        if square:
            pan = [
                (-0.012, -0.0055), (0.0065, -0.0055), (0.0065, -0.0015), (0.0, -0.0015), (0.0, 0.0015),
                (-0.012, 0.0015),
            ]  # fmt: skip
            tip = [(0.0005, -0.001), (0.02, 0.0025), (0.02, 0.006), (0.0005, 0.0028)]
        else:
            pan = [
                (-0.012, -0.0055), (0.0065, -0.0055), (0.0065, -0.0032), (0.0045, -0.0012), (0.002, 0.0006),
                (-0.001, 0.0014), (-0.012, 0.0015),
            ]  # fmt: skip
            tip = [
                (0.004, -0.0004), (0.005, 0.0004), (0.02, 0.0031), (0.02, 0.0066), (0.005, 0.0036), (0.0036, 0.0022),
                (0.0034, 0.0008),
            ]  # fmt: skip
        plate.part("notch", plate.area(pan))
        plate.part("dog", plate.area(tip))
        names = (("notch", "pan notch", (-0.004, -0.002)), ("dog", "dog", (0.0125, 0.0035)))
        return _told(plate, given, names, (left, top, width))

    return draw


def notch(given: Given) -> str:
    """A crisp notch beside one that creeps, ten times as large."""
    say = given.say
    shown = [
        Panel(say("Crisp: square edges. It holds, then lets go at once."), _notch(given, square=True)),
        Panel(say("Creeping: rounded, slips bit by bit. Do not set it."), _notch(given, square=False)),
    ]
    body, high = panels(given.width, min(max(0.3 * given.tallest, 84.0), 122.0), shown, 2, numbered=False)
    title = say("Notch and dog: crisp, and creeping")
    return figure(given.width, high, body, title, " ".join(one.caption for one in shown))
