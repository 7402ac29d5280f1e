"""Every number on a printed sheet is one that the interface gives, or a fixed word of the sheet.

What goes to the typesetter is read, words and drawings; every number in it must stand in the answer of the interface,
as its words say it or as its figure is rounded here, by rules written down afresh.
"""

from __future__ import annotations

import csv
import json
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import typst
from starlette.testclient import TestClient

from setwright.desk.demo import write_demo
from setwright.desk.demo_season import write_demo_season
from setwright.desk.handout_document import Grid
from setwright.desk.handouts import HANDOUTS, handouts
from setwright.desk.lessons.live import LessonDesk, every
from setwright.desk.lessons.shelf import lesson_named
from setwright.desk.lessons.stations import practice
from setwright.sheets.lesson_figures import known as known_figures
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

DATA = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data"
# Sites of the demo line that are enough by default: two on land, two in water, one of them with a slide.
KEPT = ("ridge", "sand", "dam", "muck")
# A number with its fraction, time or decimals, and the unit that stands behind it.
NUMBER = re.compile(
    r"((?:\d+[ \u2009])?\d+⁄\d+|\d*[½¼¾⅛⅜⅝⅞]|\d+(?:[.:]\d+)*)"
    r"(\s?(?:in|ft|mi|mm|cm|km|m|lbf|lb|N|kg|h|min|ms|kPa|psi)\b|\s?°[FC]?|\s?%)?"
)
TICK = re.compile(r"^(\d+(?:\.\d+)?)(?:\s?[A-Za-z%°]+)?$")
EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def numbers(text: str) -> list[str]:
    parts = [(re.sub(r"\s", "_", found[1]), re.sub(r"\s", "", found[2] or "")) for found in NUMBER.finditer(text)]
    return [f"{number}{unit}" for number, unit in parts]


def leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for name, one in value.items():
            yield from leaves(one, f"{path}.{name}")
    elif isinstance(value, list):
        for one in value:
            yield from leaves(one, path)
    else:
        yield path, value


# What reaches the typesetter


def printed(values: Any) -> list[str]:
    """Every word of a sheet, drawings by what is written in them; ticks of their scales left out."""
    found: list[str] = []
    for _, one in leaves(values):
        if isinstance(one, str) and "<svg" in one:
            texts = [
                re.sub(r"<[^>]+>", "", part) for part in re.findall(r"<text\b[^>]*>(.*?)</text>", one, re.DOTALL)
            ]
            found += [text for text in texts if text not in ticks(texts)]
        elif isinstance(one, str):
            found.append(one)
    return found


def ticks(texts: Sequence[str]) -> set[str]:
    """Labels of a scale: numbers alone, at even steps from nought."""
    known = {float(found[1]): text for text in texts if (found := TICK.match(text.strip())) is not None}
    if 0.0 not in known or len(known) < 3:
        return set()
    step = min(one for one in known if one > 0.0)
    row = [one for one in known if abs(one / step - round(one / step)) < 1e-6]
    return {known[one] for one in row} if len(row) >= 3 else set()


@pytest.fixture
def pressed(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """All that is given to the typesetter, as values."""
    heard: list[Any] = []
    compile_, compiler = typst.compile, typst.Compiler

    def compiled(*args: Any, **more: Any) -> Any:
        heard.append(json.loads(more["sys_inputs"]["data"]))
        return compile_(*args, **more)

    def made(*args: Any, **more: Any) -> Any:
        heard.append(json.loads(more["sys_inputs"]["data"]))
        return compiler(*args, **more)

    monkeypatch.setattr(typst, "compile", compiled)
    monkeypatch.setattr(typst, "Compiler", made)
    return heard


# What the interface says


def inches(metres: float) -> set[str]:
    found = set()
    for parts in (2, 4, 8, 16):
        whole, part = divmod(round(abs(metres) / 0.0254 * parts), parts)
        shared = math.gcd(part, parts)
        glyph = EIGHTHS[8 * part // parts] if (8 * part) % parts == 0 else f"{part // shared}⁄{parts // shared}"
        joint = "_" if whole and "⁄" in glyph else ""
        found.add(f"{whole or ('' if glyph else 0)}{joint}{glyph}in")
    feet = abs(metres) / 0.3048
    return found | {f"{feet:.1f}ft", f"{feet:.0f}ft", f"{abs(metres) * 1e3:.0f}mm", f"{abs(metres) * 1e3:.1f}mm"}


def times(text: str) -> set[str]:
    """A moment as hour and minute, with its day."""
    try:
        read = datetime.fromisoformat(text)
    except ValueError:
        return set()
    return {f"{read:%H:%M}", str(read.day), str(read.year)}


def rate(value: float) -> set[str]:
    return {f"{abs(value):.{digits}f}" for digits in (0, 1, 2, 3)}


def percent(value: float) -> set[str]:
    return {f"{100.0 * value:.0f}", f"{100.0 * value:.0f}%"}


def hours(value: float) -> set[str]:
    return {f"{value / 3600.0:.0f}h", f"{value / 3600.0:.1f}h", f"{value / 60.0:.0f}min"}


def force(value: float) -> set[str]:
    pounds = value / 4.4482216152605
    return {f"{pounds:.{digits}f}{unit}" for digits in (0, 1) for unit in ("lbf", "")} | {f"{value:.0f}N"}


Form = tuple[str, Callable[[float], set[str]]]
# How a figure of the interface is rounded on paper, by the end of its name.
PLAN: tuple[Form, ...] = (
    (r"\.distance$", lambda value: {f"{value / 1609.344:.2f}mi"}),
    (r"bearing_deg$", lambda value: {f"{value:.0f}°"}),
    (r"figure\.", inches),
    (r"\.(order|number)$", lambda value: {str(value)}),
)
RUN: tuple[Form, ...] = (
    (r"\.(left|wait|seconds)$", hours),
    (r"\.(order|number)$", lambda value: {str(value)}),
    (r"\.(at|angle|turn|open|[a-z]*jaw)$", rate),
)
SEASON: tuple[Form, ...] = (
    (r"\.(estimate|low|high|domestic_limit)$", lambda value: rate(value) | percent(value)),
    (r".*", lambda value: {f"{value:.0f}"}),
)
TRAP: tuple[Form, ...] = (
    # A width across is twice what the shape has from the middle.
    (r"\.(shape\..*|limb)$", lambda value: inches(value) | inches(2.0 * value)),
    (r"(_angle|_jaw|on_limb|angle)$", lambda value: {f"{math.degrees(value):.0f}°"}),
    (r"_N\.(low|high|median)$", lambda value: force(value)),
    (r"_ms\.(low|high|median)$", lambda value: {f"{value:.0f}ms", f"{value:.1f}ms", f"{value:.0f}"}),
    (r"_deg\.(low|high|median)$", lambda value: {f"{value:.0f}°"}),
    (r"frames\.times$", lambda value: {f"{1e3 * value:.1f}{unit}" for unit in ("", "ms")} | {f"{1e3 * value:.0f}ms"}),
    (r"(turns|springs)$", lambda value: {f"{value:.0f}"}),
)


def told(answer: Any, forms: Sequence[Form] = ()) -> set[str]:
    """Every number that an answer gives, in words or as a figure."""
    found: set[str] = set()
    for path, value in leaves(answer):
        if isinstance(value, str):
            found |= set(numbers(value)) | times(value)
        elif isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
            for name, form in forms:
                if re.search(name, path):
                    found |= form(value)
    return found


def unaccounted(sheet: Any, known: set[str]) -> list[str]:
    """Numbers of a sheet that nobody gave, with what stands around them."""
    return [f"{one} in: {text[:90]}" for text in printed(sheet) for one in numbers(text) if one not in known]


class Line:
    """A line in the app, with a log of a made-up season."""

    def __init__(self, book: Path, draws: int) -> None:
        write_demo_season(book)
        self.book, self.traps = book, dict[str, set[str]]()
        self.line = OpenLine(book, draws=draws)
        self.client = TestClient(create_app(self.line), base_url="http://127.0.0.1:8470")
        self.plan = self.get("/api/plan")
        self.known = told([self.plan, self.get("/api/law")], PLAN)

    def trap(self, tag: str) -> set[str]:
        """Numbers of one trap."""
        if tag not in self.traps:
            self.traps[tag] = told(self.get(f"/api/traps/{tag}"), TRAP)
        return self.traps[tag]

    def get(self, address: str) -> Any:
        """An answer; files are made anew, so that what they are made of is seen."""
        self.line.now().files.clear()
        answer = self.client.get(address)
        assert answer.status_code == 200, f"{address}: {answer.text[:300]}"
        return answer.json() if address.startswith("/api/") else answer.content


@pytest.fixture(
    scope="module", params=["four", pytest.param("whole", marks=pytest.mark.slow)], ids=["four-sites", "demo"]
)
def on(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Line:
    book = write_demo(tmp_path_factory.mktemp("numbers"))
    if request.param == "four":
        head, *sites = book.read_text(encoding="utf-8").split("\n  - id: ")
        kept = [one for one in sites if one.split()[0] in KEPT]
        assert len(kept) == len(KEPT)
        book.write_text("\n  - id: ".join([head, *kept]), encoding="utf-8")
    return Line(book, 60)


def test_set_cards_have_the_numbers_of_their_set(on: Line, pressed: list[Any]) -> None:
    on.get("/files/set-cards.pdf")
    plan = on.plan
    stops = {stop["site"]: stop for stop in plan["run"]["stops"]}
    (sheet,) = pressed
    assert unaccounted({**sheet, "cards": []}, told([plan["line"], plan["made"]])) == []
    pools = [told([part, stops.get(part["site"]["id"])], PLAN) for part in plan["sets"]]
    for card, known in zip(sheet["cards"], pools, strict=True):
        assert len(numbers(" ".join(printed(card)))) > 15
        assert unaccounted(card, known) == []
    assert unaccounted(sheet["cards"][0], pools[1]), "the numbers of another set are not those of this one"


def test_the_run_sheet_has_the_numbers_of_the_run(on: Line, pressed: list[Any]) -> None:
    on.get("/run/run.pdf?days=2")
    run = on.get("/api/run?days=2")
    (sheet,) = pressed
    assert unaccounted(sheet, told(run, RUN)) == []
    other = json.loads(re.sub(r"T0(\d):(\d)", r"T1\1:\2", json.dumps(run)))
    assert unaccounted(sheet, told(other, RUN)), "hours of another run are not those of this one"


def test_the_record_card_has_the_numbers_of_the_trap(on: Line, pressed: list[Any]) -> None:
    pools = {}
    for tag in ("T-11", "T-51"):
        on.get(f"/bench/{tag}/card.pdf")
        pools[tag] = on.trap(tag)
        assert unaccounted(pressed[-1], pools[tag]) == []
    assert unaccounted(pressed[-1], pools["T-11"]), "the numbers of another trap are not those of this one"


def test_the_season_book_has_the_numbers_of_the_season(on: Line, pressed: list[Any]) -> None:
    on.get("/season/season.pdf")
    season = on.get("/api/season")
    (sheet,) = pressed
    assert unaccounted(sheet, told(season, SEASON)) == []


@pytest.mark.parametrize("name", HANDOUTS)
def test_a_handout_has_fixed_numbers_or_those_of_the_line(on: Line, pressed: list[Any], name: str) -> None:
    on.get(f"/handouts/{name}.pdf?blank=true")
    fixed = {one for text in printed(pressed[-1]) for one in numbers(text)}
    on.get(f"/handouts/{name}.pdf")
    (made,) = handouts(on.book, only=(name,)).handouts
    known = fixed | on.known | worked(name, on)
    rows = [row[0].text for block in made.blocks if isinstance(block, Grid) for row in block.rows]
    for tag in {*made.traps.values(), *(found[0] for one in rows if (found := re.match(r"T-\d\d", one)))}:
        known |= on.trap(tag)
    assert unaccounted(pressed[-1], known) == []


def worked(name: str, on: Line) -> set[str]:
    """Numbers that a handout works out by itself, worked out afresh."""
    trade = {row["quantity"]: float(row["value"]) for row in figures()}
    if name == "frost":
        sets = sum(part["site"]["medium"] == "land" for part in on.plan["sets"])
        dirt = [sets / trade["sets_per_gallon_high"], sets / trade["sets_per_gallon_low"]]
        wax = [dirt[0] * trade["wax_low"], dirt[1] * trade["wax_high"]]
        return {str(sets), *(f"{one:.1f}" for one in dirt), *(f"{one:.1f}lb" for one in wax)}
    if name == "treatment":
        # Two loads of the outfit in the pot of 20 gallons, ten minutes to change each.
        spent = [2 * (minutes + 10) for minutes in (20, 60, 5)]
        return {f"{one}min" for one in spent} | {f"{one // 60}h" for one in spent} | {f"{one % 60}" for one in spent}
    if name == "rules":
        return set(numbers((DATA / "law" / "orrin.yaml").read_text(encoding="utf-8")))
    return set()


def figures() -> list[dict[str, str]]:
    with (DATA / "desk" / "figures.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(line for line in handle if not line.startswith("#")))


@pytest.mark.parametrize("name", ["coils", "submersion", "check-clock"])
def test_a_lesson_sheet_has_the_numbers_of_its_question(on: Line, pressed: list[Any], name: str) -> None:
    on.get(f"/lessons/{name}/lesson.pdf")
    lesson, desk = lesson_named(name, known_figures()), LessonDesk(on.book, draws=60)
    known = set(numbers(lesson.place.read_text(encoding="utf-8")))
    for told_once in every(desk, lesson.head.live):
        known |= told(json.loads(json.dumps(asdict(told_once), default=str)))
    kit = practice(lesson, 8)
    known |= {str(count) for count, _ in [*kit.kit, *(row for one in kit.stations for row in one.kit)]}
    known |= {str(one) for one in (8, kit.helpers, *(part.number for part in kit.stations))}
    assert unaccounted(words_only(pressed[-1]), known) == []


def words_only(sheet: Any) -> Any:
    """A sheet without its drawings: those of a lesson are drawn anew for it, and looked at on their own."""
    if isinstance(sheet, dict):
        return {name: words_only(one) for name, one in sheet.items()}
    if isinstance(sheet, list):
        return [words_only(one) for one in sheet]
    return "" if isinstance(sheet, str) and "<svg" in sheet else sheet


def slipped(number: str) -> str:
    """The same number with its last digit one higher."""
    at = max(place for place, letter in enumerate(number) if letter.isdigit())
    return f"{number[:at]}{(int(number[at]) + 1) % 10}{number[at + 1 :]}"


def test_a_slip_in_the_last_digit_would_be_seen(on: Line, pressed: list[Any]) -> None:
    on.get("/files/set-cards.pdf")
    on.get("/run/run.pdf?days=2")
    cards, run = pressed
    stops = {stop["site"]: stop for stop in on.plan["run"]["stops"]}
    first = on.plan["sets"][0]
    pairs = (
        (cards["cards"][0], told([first, stops.get(first["site"]["id"])], PLAN), 0.5),
        (run["days"], told(on.get("/api/run?days=2"), RUN), 0.3),
    )
    for sheet, known, least in pairs:
        shown = [one for text in printed(sheet) for one in numbers(text) if any(letter.isdigit() for letter in one)]
        seen = [slipped(one) not in known for one in shown]
        assert sum(seen) > least * len(seen), f"{sum(seen)} of {len(seen)}"


def test_a_handout_without_the_line_behind_it_is_unaccounted(on: Line, pressed: list[Any]) -> None:
    on.get("/handouts/slide-sum.pdf?blank=true")
    fixed = {one for text in printed(pressed[-1]) for one in numbers(text)}
    on.get("/handouts/slide-sum.pdf")
    assert len(unaccounted(pressed[-1], fixed)) > 5
