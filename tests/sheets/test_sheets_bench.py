"""Bench card: one sheet whatever the words are, the same bytes every day, cautions always on it."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
import tempfile
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest

from draw.trap_examples import COIL, LONG, SHAPES, frames, postures
from setwright.draw.trap_shape import TrapShape
from setwright.sheets.bench_card import BenchCard, Paper, bench_card, compile_card

PAPERS: dict[Paper, tuple[float, float]] = {"a5": (148.0, 210.0), "letter": (215.9, 279.4), "a4": (210.0, 297.0)}
GROUPS = (
    ("Measured", (("jaw spread", "4⅞ in (124 mm)", "measured: calipers"), ("springs", "two coils", ""))),
    ("Closing", (("closing time in air", "18.3 ms (15.6 to 21.4)", "comparative"), ("in water", "25 ms", "table"))),
    ("Grip at the bar", (("limb of ⅞ in", "12 to 30 lbf", "closing to opening"),)),
    ("Force to set", (("each lever, by hand", "31 lbf (28 to 34)", "assumed friction"),)),
)
CAUTIONS = ("Hands: from outside and below the loose jaw, never between the jaws.", "Setters within reach.")
CARD = BenchCard(
    title="T-23: No. 1½ coil-spring, two coils",
    say="Closes in about 18.3 ms in air: for comparing with your other traps.",
    groups=GROUPS,
    remarks=("Momentum and grip say nothing about injury.",),
    cautions=CAUTIONS,
    shape=COIL,
    postures=tuple(postures(COIL)),
    frames=frames(COIL, 0.0183),
    example="invented example, nothing measured",
    printed="Wed 25 Nov 2026",
)
HOSTILE = '#import "@preview/x:1.0.0": * $x$ \\ `raw` ] } #panic("no") <b>&amp; = head *bold* _under_ ~ @ref'


def sheets(paper: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", paper))


def crowded(card: BenchCard, words: str) -> BenchCard:
    rows = tuple((f"{words} {k} " * 6, f"{words} " * 8, f"{words} " * 8) for k in range(30))
    return replace(
        card,
        title=f"{words} " * 30,
        say=f"{words} " * 60,
        groups=tuple((f"{words} {k} " * 5, rows) for k in range(12)),
        remarks=(f"{words} " * 80,) * 12,
    )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_one_sheet_of_the_size_asked_for(shape: TrapShape, paper: Paper) -> None:
    card = replace(CARD, shape=shape, postures=tuple(postures(shape)), frames=frames(shape, 0.021))
    made = bench_card(card, paper)
    assert made.startswith(b"%PDF")
    assert sheets(made) == 1
    box = re.search(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", made)
    assert box is not None
    for found, wanted in zip(box.groups(), PAPERS[paper], strict=True):
        assert float(found) == pytest.approx(wanted / 25.4 * 72.0, abs=0.1)


@pytest.mark.parametrize("paper", PAPERS)
def test_words_that_look_like_commands_and_crowds_of_words_stay_on_one_sheet(paper: Paper) -> None:
    assert sheets(bench_card(crowded(CARD, "long words"), paper)) == 1
    assert sheets(bench_card(crowded(replace(CARD, cautions=(HOSTILE,) * 3, retest=HOSTILE), HOSTILE), paper)) == 1
    assert sheets(bench_card(BenchCard(title="", say=""), paper)) == 1


def test_the_same_card_has_the_same_bytes_on_another_run() -> None:
    here = hashlib.sha256(bench_card(CARD)).hexdigest()
    assert hashlib.sha256(bench_card(CARD)).hexdigest() == here
    code = (
        "import hashlib, time; time.sleep(1.1)\n"
        "from sheets.test_sheets_bench import CARD, bench_card\n"
        "print(hashlib.sha256(bench_card(CARD)).hexdigest())"
    )
    tests = str(Path(__file__).resolve().parents[1])
    found = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {tests!r})\n{code}"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert found.stdout.strip() == here


def picture(card: BenchCard, paper: Paper = "a5") -> bytes:
    made = compile_card(card, paper, "png", 60.0)
    assert isinstance(made, bytes)
    return made


@pytest.mark.parametrize("card", [CARD, crowded(CARD, "long words")], ids=["usual", "crowded"])
def test_cautions_lines_to_sign_and_the_word_comparative_are_never_left_out(card: BenchCard) -> None:
    shown = picture(card)
    assert picture(replace(card, cautions=(CAUTIONS[0],))) != shown, "each caution is printed"
    assert picture(replace(card, cautions=(CAUTIONS[1],))) != shown
    assert picture(replace(card, calibrated=True)) != shown, "not calibrated: it says so"
    assert picture(replace(card, retest="Wed 9 Dec")) != shown, "the date of the next test is printed or left blank"
    assert picture(replace(card, example="")) != shown


def test_source_words_stand_beside_the_figures() -> None:
    other = (GROUPS[0], ("Closing", (("closing time in air", "18.3 ms (15.6 to 21.4)", "assumed"), GROUPS[1][1][1])))
    for paper in PAPERS:
        assert picture(replace(CARD, groups=GROUPS[:2]), paper) != picture(replace(CARD, groups=other), paper)


def test_every_table_has_a_row_on_the_small_sheet() -> None:
    for number in range(1, len(GROUPS)):
        changed = list(GROUPS)
        head, rows = changed[number]
        changed[number] = (head, ((rows[0][0], "not this", rows[0][2]), *rows[1:]))
        assert picture(replace(CARD, groups=tuple(changed))) != picture(CARD), f"{head} is on the card"


def test_a_card_without_drawings_is_a_card() -> None:
    assert sheets(bench_card(replace(CARD, shape=None, postures=(), frames=None))) == 1
    assert sheets(bench_card(replace(CARD, shape=LONG, postures=(), frames=None))) == 1


def test_nothing_is_left_behind(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    bench_card(CARD)
    assert list(tmp_path.iterdir()) == []


def test_type_is_never_under_eleven_points() -> None:
    source = (files("setwright.sheets") / "templates" / "bench.typ").read_text(encoding="utf-8")
    assert min(float(size) for size in re.findall(r"size: ([\d.]+)pt", source)) >= 11.0
    from setwright.sheets.bench_card import _PIXELS_PER_MM

    assert 13.5 / _PIXELS_PER_MM / 25.4 * 72.0 >= 11.0, "smallest text of a drawing as printed"
