"""Every number on a printed sheet is one that the interface gives, or a fixed word of the sheet.

What goes to the typesetter is read, words and drawings; every number in it must stand in the answer of the interface,
as its words say it or as its figure is rounded here, by rules written down afresh.
"""

from __future__ import annotations

import json
import math
import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import typst
from starlette.testclient import TestClient

from setwright.desk.demo import write_demo
from setwright.desk.demo_season import write_demo_season
from setwright.desk.handouts import HANDOUTS
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
# A number with its fraction, time or decimals, and the unit that stands behind it.
NUMBER = re.compile(
    r"((?:\d+[ \u2009])?\d+⁄\d+|\d*[½¼¾⅛⅜⅝⅞]|\d+(?:[.:]\d+)*)"
    r"(\s?(?:in|ft|mi|mm|cm|km|m|lbf|lb|N|kg|h|min|ms|kPa|psi)\b|\s?°[FC]?|\s?%)?"
)
TICK = re.compile(r"^(\d+(?:\.\d+)?)(?:\s?[A-Za-z%°]+)?$")
EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def numbers(text: str) -> list[str]:
    return [re.sub(r"\s", "", found[1].replace("\u2009", "_") + (found[2] or "")) for found in NUMBER.finditer(text)]


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
            texts = [re.sub(r"<[^>]+>", "", part) for part in re.findall(r"<text\b[^>]*>(.*?)</text>", one, re.DOTALL)]
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
    for parts in (8, 16):
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
    (r"\.(shape|closed|states|postures)\b", lambda value: inches(value) | {f"{math.degrees(value):.0f}°"}),
    (r"\.(force|grip|low|high|median)", lambda value: {f"{value / 4.4482216152605:.0f}lbf"}),
    (r"frames\.times$", lambda value: {f"{1e3 * value:.1f}", f"{1e3 * value:.0f}ms"}),
    (r"frames\.", lambda value: {f"{math.degrees(value):.0f}°"}),
    (r"(turns|coils|springs)", lambda value: {f"{value:.0f}"}),
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
        self.client = TestClient(create_app(OpenLine(book, draws=draws)), base_url="http://127.0.0.1:8470")

    def get(self, address: str) -> Any:
        answer = self.client.get(address)
        assert answer.status_code == 200, f"{address}: {answer.text[:300]}"
        return answer.json() if address.startswith("/api/") else answer.content


@pytest.fixture(
    scope="module", params=["two sites", pytest.param("demo", marks=pytest.mark.slow)], ids=["two-sites", "demo"]
)
def on(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Line:
    folder = tmp_path_factory.mktemp("numbers")
    if request.param == "demo":
        return Line(write_demo(folder), 60)
    return Line(Path(shutil.copy(EXAMPLE, folder / "line-book.yaml")), 60)


def test_set_cards_have_the_numbers_of_their_set(on: Line, pressed: list[Any]) -> None:
    on.get("/files/set-cards.pdf")
    plan = on.get("/api/plan")
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
    tags = [one for part in on.get("/api/plan")["sets"] for one in part["rig"]["trap"].split(",")][:1]
    tag = tags[0].split()[0]
    on.get(f"/bench/{tag}/card.pdf")
    sheet = pressed[-1]
    assert unaccounted(sheet, told(on.get(f"/api/traps/{tag}"), TRAP)) == []


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
    known = fixed | told([on.get("/api/plan"), on.get("/api/law")], PLAN)
    assert unaccounted(pressed[-1], known) == []
