"""Answers of the quiz held against the same sums made afresh, from published formulas and the tables as written."""

from __future__ import annotations

import csv
import datetime as dt
import math
import random
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from setwright.basis.units import convert, shown_in
from setwright.desk.lessons import kinds_trap
from setwright.desk.lessons.kinds import KINDS
from setwright.desk.lessons.question import LETTERS, Question, mark
from setwright.desk.lessons.quiz import marked, quiz_from
from setwright.trap.frames import frames
from setwright.trap.model import Trap
from setwright.trap.setting import setting_force

DATA = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data"
INCH, POUND, LBF, GRAVITY = 0.0254, 0.45359237, 4.4482216152605, 9.80665
SIZES = {"in": INCH, "cm": 0.01, "mm": 0.001}
BOTH = pytest.mark.parametrize("units", ["us", "metric"])
TURNS = 12


def row(table: str, key: str, quantity: str) -> tuple[str, str]:
    """Value and unit as they stand in the file."""
    with (DATA / table).open(encoding="utf-8", newline="") as handle:
        for found in csv.DictReader(line for line in handle if not line.startswith("#")):
            if found["key"] == key and found["quantity"] == quantity:
                return found["value"], found["unit"]
    raise AssertionError(f"{table} has no {quantity} of {key}")


def labels() -> list[str]:
    """Names of goods, some by their trade size, as they stand in the tables."""
    found = []
    for table in ("tackle/tackle.csv", "ground/stakes.csv"):
        with (DATA / table).open(encoding="utf-8", newline="") as handle:
            rows = csv.DictReader(line for line in handle if not line.startswith("#"))
            found += [one["value"] for one in rows if one["quantity"] == "label"]
    return found


def number(table: str, key: str, quantity: str) -> float:
    return float(row(table, key, quantity)[0])


def pounds(table: str, key: str, quantity: str) -> float:
    value, unit = row(table, key, quantity)
    return float(value) * (1.0 if unit == "lbf" else 1.0 / LBF)


def made(kind: str, units: str = "us") -> list[Question]:
    with shown_in(units):
        return [KINDS[kind].make(random.Random(f"held/{kind}/{turn}")) for turn in range(TURNS)]


def given(one: Question, *names: str) -> tuple[float, ...]:
    return tuple(float(one.given[name]) for name in names)


# Water


def depth_sum(one: Question) -> float:
    chain, fall = given(one, "chain", "fall")
    size = SIZES[str(one.given["unit"])]
    reach = number("water/reaches.csv", f"beaver-{one.given['foot']}", "reach") / size
    return chain + reach + fall + 0.10 / size


def deep_weight(one: Question) -> float:
    (mass,) = given(one, "mass")
    return mass * (1.0 - 1000.0 / number("water/anchors.csv", str(one.given["material"]), "density"))


def ice_growth(one: Question) -> float:
    nights, cold = given(one, "nights", "cold")
    return number("water/ice.csv", "lake-snow", "growth") * math.sqrt(nights * cold) / (100.0 * SIZES[one.unit])


# Trap


def foot_time(one: Question) -> float:
    reaction, lift, height = given(one, "reaction", "lift", "height")
    # Stepped by time, not by the closed form.
    found = solve_ivp(
        lambda _, y: [y[1], lift], (0.0, 1.0), [0.0, 0.0], rtol=1e-9, atol=1e-12,
        events=[_reached(lambda y: y[0] - height * SIZES[str(one.given["unit"])])],
    )  # fmt: skip
    return reaction + 1e3 * float(found.t_events[0][0])


def _reached(over: Callable[[np.ndarray], float]) -> Callable[[float, np.ndarray], float]:
    def event(_: float, y: np.ndarray) -> float:
        return over(y)

    event.terminal = True
    return event


def face_pressure(one: Question) -> float:
    force, wide, limb, narrow = given(one, "force", "wide", "limb", "narrow")
    # Newtons to the square millimetre are megapascals.
    return force / (narrow * wide * limb) * (1000.0 if one.unit == "kPa" else 1.0)


# Land


def worn_chain(one: Question) -> float:
    new, left = given(one, "new", "left")
    return 100.0 * (math.pi * left**2 / 4.0) / (math.pi * new**2 / 4.0)


def chain_angle(one: Question) -> float:
    length, height = given(one, "length", "height")
    return math.degrees(math.atan2(height, math.sqrt(length**2 - height**2)))


def wind_chill(one: Question) -> float:
    # US National Weather Service, wind chill chart of 2001.
    air, wind = given(one, "air", "wind")
    if one.unit == "degC":
        # The same index by its metric equation, and the US one beside it: they agree to a tenth or so of a degree.
        fahrenheit, mph = air * 1.8 + 32.0, wind * 1000.0 / 1609.344
        us = 35.74 + 0.6215 * fahrenheit - 35.75 * mph**0.16 + 0.4275 * fahrenheit * mph**0.16
        return (us - 32.0) / 1.8
    return 35.74 + 0.6215 * air - 35.75 * wind**0.16 + 0.4275 * air * wind**0.16


# Log


def none_seen(one: Question) -> float:
    (nights,) = given(one, "nights")
    # The share at which a clean record of so many nights still has one chance in twenty.
    return 100.0 * brentq(lambda share: (1.0 - share) ** nights - 0.05, 1e-9, 0.5)


def nights_corrected(one: Question) -> float:
    traps, nights, fired = given(one, "traps", "nights", "fired")
    return traps * nights - fired / 2.0


def catch_rate(one: Question) -> float:
    nights, fired, catch = given(one, "nights", "fired", "catch")
    return 100.0 * catch / (nights - fired / 2.0)


NUMBERS = {
    "depth-sum": depth_sum, "deep-weight": deep_weight, "ice-growth": ice_growth, "foot-time": foot_time,
    "face-pressure": face_pressure, "worn-chain": worn_chain, "chain-angle": chain_angle, "wind-chill": wind_chill,
    "none-seen": none_seen, "nights-corrected": nights_corrected, "catch-rate": catch_rate,
}  # fmt: skip


@BOTH
@pytest.mark.parametrize("kind", NUMBERS)
def test_numbers_are_those_of_the_same_sum_made_afresh(kind: str, units: str) -> None:
    for one in made(kind, units):
        # Tables may be printed rounded; a slip of 5 % would show. The two forms of the wind chill differ by rounding.
        near = 0.15 if kind == "wind-chill" else 0.01
        assert one.answer == pytest.approx(NUMBERS[kind](one), rel=0.01, abs=near), one.ask
        assert 0 < one.tolerance <= max(0.08 * abs(one.answer), 3.0)


# The closing, from energy: each lever moves as the eye slides up the legs (`docs/why/trap-closing.md`).


def _trap_numbers(key: str) -> dict[str, float]:
    trap = kinds_trap.trap_of(key)
    return {name: float(np.ravel(value)[0]) for name, value in vars(trap).items() if name not in ("family", "eye")}


def _time_to(key: str, angle: float) -> float:
    """Time to an angle without friction, from energy alone: springs, two jaws, the levers and gravity [ms]."""
    d = _trap_numbers(key)
    b, c = d["eye_half_opening"] - d["hinge_half_distance"], d["loop_clearance"]

    def lever(theta: float) -> float:
        alpha = theta - d["bevel"]
        return math.asin((b * math.tan(alpha) - c / math.cos(alpha) - d["pivot_height"]) / d["lever_length"])

    start, rest = d["set_angle"], d["free_coordinate"]
    first = lever(start)

    def speed(theta: float) -> float:
        gain = (lever(theta + 1e-5) - lever(theta - 1e-5)) / 2e-5
        work = 0.5 * d["spring_rate"] * ((rest - first) ** 2 - (rest - lever(theta)) ** 2) * d["loops"]
        weight = 2.0 * d["weight_moment"] * (math.sin(theta) - math.sin(start))
        return math.sqrt(2.0 * (work - weight) / (2.0 * d["jaw_inertia"] + d["loops"] * d["loop_inertia"] * gain**2))

    # It starts from rest: the root takes the pole away.
    return 1e3 * float(quad(lambda u: 2.0 * u / speed(start + u * u), 1e-6, math.sqrt(angle - start))[0])


@pytest.mark.parametrize("key", kinds_trap.PATTERNS)
def test_closing_to_an_angle_is_that_of_its_energy(key: str) -> None:
    free = frames(kinds_trap_point(key), friction=0.0, step=1e-4)
    for angle in (30, 45, 60):
        own = _time_to(key, math.radians(angle))
        theirs = 1e3 * float(np.interp(math.radians(angle), free.angles[1], free.times))
        assert theirs == pytest.approx(own, rel=0.01), "without friction both are one sum"


def kinds_trap_point(key: str) -> Trap:
    """The same trap as plain numbers."""
    trap = kinds_trap.trap_of(key)
    return replace(trap, **_trap_numbers(key))


def test_the_answer_on_closing_is_a_little_more_than_without_friction() -> None:
    for one in made("closing-angle"):
        own = _time_to(str(one.given["trap"]), math.radians(float(one.given["angle"])))
        assert 1.0 < one.answer / own < 1.06, (one.answer, own)


@BOTH
def test_who_sets_what_by_moments(units: str) -> None:
    word, mass, presses = (" lb", " lb", 1.0) if units == "us" else (" N", " kg", GRAVITY)
    for one in made("setter-force", units):
        asked = float(one.ask.split("asks for ")[1].split(word)[0])
        ratio = float(one.given["ratio"])
        assert one.answer == pytest.approx(asked / ratio, abs=0.5 / ratio + 0.01)
    seen = set()
    for one in made("both-feet", units):
        asked = float(one.ask.split("they ask for ")[1].split(word)[0])
        weight = float(one.ask.split("weighs ")[1].split(mass)[0])
        able = 0.8 * weight * presses >= asked
        assert one.choices[one.right].startswith("Yes" if able else "No"), one.ask
        seen.add(able)
    assert seen == {True, False}


@pytest.mark.parametrize("key", kinds_trap.PATTERNS)
def test_force_at_the_lever_is_that_of_its_coil(key: str) -> None:
    d = _trap_numbers(key)
    b, c = d["eye_half_opening"] - d["hinge_half_distance"], d["loop_clearance"]
    alpha = d["set_angle"] - d["bevel"]
    set_lever = math.asin((b * math.tan(alpha) - c / math.cos(alpha) - d["pivot_height"]) / d["lever_length"])
    turned = d["free_coordinate"] - set_lever
    # Rubbing of a tenth is assumed on top of the spring.
    square = 1.1 * d["spring_rate"] * turned / d["lever_length"] / LBF
    found = float(np.ravel(setting_force(kinds_trap.trap_of(key)).hand)[0]) / LBF
    assert found == pytest.approx(square, rel=0.01)


# Choices


def who_presses(one: Question) -> str:
    """Median press by a large sample of its own: mass lognormal, share normal, part on the pan beta."""
    force = float(one.given["force"]) * (1.0 if one.given["unit"] == "lbf" else 1.0 / LBF)
    draw = np.random.default_rng(5)
    names = {
        "striped_skunk": "skunk", "opossum": "opossum", "red_fox": "red fox", "raccoon": "raccoon",
        "coyote_west": "coyote", "dog_medium": "bird dog",
    }  # fmt: skip
    mean, sd = (number("animal/tread.csv", "worked", name) for name in ("coupling_mean", "coupling_sd"))
    total = mean * (1.0 - mean) / sd**2 - 1.0
    over = []
    for key in str(one.given["animals"]).split():
        mass, cv, share, share_sd = (
            number("animal/species.csv", key, name) for name in ("mass", "mass_cv", "share", "share_sd")
        )
        n = 40_000
        masses = mass * np.exp(math.sqrt(math.log1p(cv**2)) * draw.standard_normal(n))
        shares = np.maximum(share + share_sd * draw.standard_normal(n), 0.0)
        press = masses * GRAVITY * shares * draw.beta(mean * total, (1.0 - mean) * total, n) / LBF
        if float(np.median(press)) > force:
            over.append(names[key])
    if not over:
        return "none of them"
    return over[0] if len(over) == 1 else f"{', '.join(over[:-1])} and {over[-1]}"


def weakest_link(one: Question) -> str:
    table = "tackle/tackle.csv"
    keys = [str(one.given["chain"]), str(one.given["hook"]), "quick-link-3/16", "cable-3/32-7x7"]
    strong = {key: pounds(table, key, "breaking") for key in keys}
    strong["cable-3/32-7x7"] *= number(table, "end-sleeve", "efficiency")
    return row(table, min(strong, key=lambda key: strong[key]), "label")[0]


def stake_class(one: Question) -> str:
    """Broms (1964), short stake in clay, free head: H from the lengths f and g; bending where it comes first."""
    strength = number("ground/soils.csv", str(one.given["soil"]), "cu") * 1e3
    stock = str(one.given["stake"])
    width = number("ground/stakes.csv", stock, "width") / 1e3
    deep = number("ground/stakes.csv", stock, "length") * INCH - 2.0 * INCH
    most = number("ground/stakes.csv", stock, "yield_moment")
    high = INCH

    def moment(pull: float) -> float:
        return pull * (high + 1.5 * width + 0.5 * pull / (9.0 * strength * width))

    def left(pull: float) -> float:
        reach = pull / (9.0 * strength * width)
        return deep - 1.5 * width - reach - math.sqrt(moment(pull) / (2.25 * width * strength))

    turned = brentq(left, 1e-6, 9.0 * strength * width * deep)
    held = turned if moment(turned) <= most else turned * most / moment(turned)
    if one.given["unit"] == "N":
        limits = (("below 200 N", 200.0), ("200 to 500 N", 500.0), ("500 to 1300 N", 1300.0), ("above 1300 N", 1e9))
        return next(words for words, limit in limits if held < limit)
    limits = (("below 50 lb", 50.0), ("50 to 120 lb", 120.0), ("120 to 300 lb", 300.0), ("above 300 lb", 1e9))
    return next(words for words, limit in limits if held / LBF < limit)


def crust(one: Question) -> str:
    thick, ice = given(one, "thick", "ice")
    if ice >= 8 and thick >= 5:
        return "it is out of order"
    return "it is in doubt" if ice >= 4 and thick >= 2 else "it works"


def pan_depth(one: Question) -> str:
    depth = given(one, "depth")[0] * SIZES[str(one.given["unit"])] / INCH
    if 4 <= depth <= 7:
        return "the chest, which fires it and is not held"
    if 1 <= depth <= 3:
        return "a front foot"
    return "a hind foot" if 6 <= depth <= 14 else "nothing: the animal swims over it"


def check_day(one: Question) -> str:
    visit = dt.datetime.fromisoformat(str(one.given["visit"]))
    ends = dt.datetime.combine(visit.date(), dt.time(0)) + dt.timedelta(days=2)
    return f"{ends:%a} {ends.day} {ends:%b %H:%M}"


def check_hours(one: Question) -> str:
    visit = dt.datetime.fromisoformat(str(one.given["visit"]))
    ends = (visit.astimezone(dt.UTC) + dt.timedelta(hours=24)).astimezone(ZoneInfo("America/New_York"))
    return f"{ends:%a} {ends.day} {ends:%b %H:%M}"


CHOICES = {
    "who-presses": who_presses, "weakest-link": weakest_link, "stake-class": stake_class, "crust": crust,
    "pan-depth": pan_depth, "check-day": check_day, "check-hours": check_hours,
}  # fmt: skip


@BOTH
@pytest.mark.parametrize("kind", CHOICES)
def test_choices_are_those_of_the_same_reasoning_made_afresh(kind: str, units: str) -> None:
    for one in made(kind, units):
        assert one.choices[one.right] == CHOICES[kind](one), one.ask
    assert len({one.choices[one.right] for one in made(kind, units)}) > 1, "not always the same answer"


def test_a_change_of_clocks_is_among_the_questions() -> None:
    assert {"clocks go back" in one.ask for one in made("check-hours")} == {True, False}


FIRING = [
    "a foot presses the pan", "the notch drops away from the dog", "the dog flies up and frees its jaw",
    "the levers ride up the jaws", "the jaws meet",
]  # fmt: skip


def test_the_firing_order_is_that_of_the_lesson() -> None:
    text = (DATA / "lessons" / "parts-and-firing.md").read_text(encoding="utf-8").split("## The firing order")[1]
    steps = [line[3:].strip().lower() for line in text.splitlines() if line[:2] in ("1.", "2.", "3.", "4.", "5.")]
    for told, step in zip(FIRING, steps, strict=True):
        assert told.split()[1] in step, f"{told} / {step}"
    for one in made("firing-order"):
        before = one.ask.split("This happens: ")[1].split(". What")[0]
        assert one.choices[one.right] == FIRING[FIRING.index(before) + 1]


def test_the_order_of_the_hands_is_that_of_the_lesson() -> None:
    text = (DATA / "lessons" / "hands.md").read_text(encoding="utf-8").split("## Coil-spring, step by step")[1]
    text = text.split("##")[0].lower().replace("*", "")
    told = ("on both levers", "jaws flat", "fold the dog", "lift the pan", "ease the", "lies flat")
    order = [text.index(words) for words in told]
    assert order == sorted(order)
    words = [
        "both levers",
        "jaws are laid flat",
        "dog is folded",
        "pan is lifted",
        "levers are eased",
        "loose jaw lies",
    ]
    for one in made("setting-order"):
        before = next(at for at, part in enumerate(words) if part in one.ask)
        assert words[before + 1] in one.choices[one.right]


def test_every_kind_is_held_against_something() -> None:
    held = {*NUMBERS, *CHOICES, "setter-force", "both-feet", "closing-angle"}
    held |= {"firing-order", "setting-order", "part-name"}
    assert held == set(KINDS) and len(KINDS) >= 12


# Marking


US_UNITS = re.compile(r"\b(?:in|lb|lbf|ft|mph|psi|inch|inches|pounds?|feet)\b|°F|lb/in")


@pytest.mark.parametrize("kind", KINDS)
def test_a_metric_quiz_asks_the_same_in_units_of_its_own(kind: str) -> None:
    for us, metric in zip(made(kind), made(kind, "metric"), strict=True):
        words = f"{metric.ask} {metric.worked} {metric.key} {metric.how} {metric.choices}"
        # "in" is a preposition too: a figure stands before it where it is a unit.
        for label in labels():
            words = words.replace(label, "")
        found = [
            one[0] for one in US_UNITS.finditer(words) if one[0] != "in" or re.search(r"\d $", words[: one.start()])
        ]
        assert found == [], words
        assert (metric.kind, metric.figure, len(metric.choices)) == (us.kind, us.figure, len(us.choices))
        if kind in ("depth-sum", "ice-growth", "deep-weight", "face-pressure", "setter-force", "wind-chill"):
            assert metric.unit != us.unit
            back = convert(
                metric.answer, metric.unit, {"lbf": "lb"}.get(us.unit, us.unit) if metric.unit == "kg" else us.unit
            )
            # Asked with rounder figures: near, and not the same to the last digit.
            assert back == pytest.approx(us.answer, rel=0.12, abs=2.0), metric.ask
        elif us.choices and kind != "stake-class":
            assert metric.right == us.right, metric.ask
        elif not us.choices:
            assert metric.answer == pytest.approx(us.answer, rel=0.12), metric.ask


@BOTH
@pytest.mark.parametrize("kind", KINDS)
def test_the_key_is_right_and_another_answer_is_not(kind: str, units: str) -> None:
    for one in made(kind, units)[:4]:
        if one.choices:
            assert mark(one, LETTERS[one.right]).word == "right"
            assert mark(one, one.choices[one.right]).word == "right"
            assert mark(one, LETTERS[(one.right + 1) % len(one.choices)]).word == "wrong"
            assert len(set(one.choices)) == len(one.choices) >= 2
        else:
            assert mark(one, f"{one.answer!r}").word == "right"
            assert mark(one, f"{one.answer + 0.999 * one.tolerance!r} {one.unit}").word == "right"
            assert mark(one, f"{one.answer + 1.01 * one.tolerance!r}").word == "wrong"
        assert mark(one, "").word == "open" and mark(one, "no idea").word == "wrong"
        assert one.worked and one.source and one.ask.count("{") == 0


def test_other_units_are_turned_into_the_one_asked_for() -> None:
    one = made("depth-sum")[0]
    assert mark(one, f"{one.answer / 12.0:.4f} ft").word == "right"
    assert mark(one, f"{one.answer * 2.54:.2f} cm").word == "right"
    assert mark(one, f"{one.answer:.2f} lbf").word == "wrong"
    weight = made("deep-weight", "metric")[0]
    assert (
        mark(weight, f"{weight.answer / POUND:.3f} lb").word
        == mark(weight, f"{weight.answer:.3f} kg").word
        == "right"
    )
    assert mark(weight, f"{weight.answer:.3f} lb").word == "wrong"
    cold = made("wind-chill", "metric")[0]
    assert mark(cold, f"{cold.answer:.2f} °C").word == mark(cold, f"{cold.answer * 1.8 + 32:.2f} °F").word == "right"


def test_the_same_seed_gives_the_same_quiz() -> None:
    first, second = (quiz_from(sorted(KINDS), 7, 12, "all") for _ in range(2))
    assert first == second
    assert quiz_from(sorted(KINDS), 8, 12, "all").questions != first.questions
    asks = [one.ask for one in quiz_from(["none-seen", "part-name"], 3, 10).questions]
    assert len(set(asks)) == len(asks), "no question twice"


def test_a_marked_quiz_counts() -> None:
    quiz = quiz_from(["deep-weight", "crust", "none-seen"], 2, 3)
    one, two, _ = quiz.questions
    found = marked(quiz, {1: f"{one.answer}", 2: LETTERS[(two.right + 1) % 3]})
    assert (found.right, found.open, [each.word for each in found.marks]) == (1, 1, ["right", "wrong", "open"])
