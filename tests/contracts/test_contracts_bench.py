"""The table of speed: how figures are written, kept and put beside those of another run; nothing is timed here."""

from __future__ import annotations

import importlib.util
import json
import sys
from pathlib import Path
from types import ModuleType

import pytest

BENCH = Path(__file__).resolve().parents[2] / "bench"


def _module(name: str) -> ModuleType:
    sys.path.insert(0, str(BENCH))
    try:
        spec = importlib.util.spec_from_file_location(name, BENCH / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        found = importlib.util.module_from_spec(spec)
        sys.modules[name] = found
        spec.loader.exec_module(found)
        return found
    finally:
        sys.path.remove(str(BENCH))


figure = _module("figure")
compare = _module("compare")


def _kept(place: Path, pace: float, **values: dict[str, object]) -> Path:
    figures = [{"name": name.replace("_", " "), **one} for name, one in values.items()]
    place.write_text(json.dumps({"pace": pace, "figures": figures}), encoding="utf-8")
    return place


def test_a_figure_is_written_with_its_unit_and_its_wish() -> None:
    one = figure.Figure("closing", 1234567.0, "/s", least=20_000.0, digits=0)
    assert (one.shown(), one.wished(), one.met) == ("1,234,567 /s", "≥ 20,000 /s", True)
    two = figure.Figure("error", 3.2e-5, most=1e-4, digits=6)
    assert (two.shown(), two.wished(), two.met) == ("0.000032", "≤ 0.000100", True)
    assert figure.Figure("plan", 21.0, "s", most=20.0).met is False
    assert figure.Figure("plan", 21.0, "s").met is None


def test_a_slower_machine_is_not_a_slower_program(tmp_path: Path) -> None:
    before = _kept(tmp_path / "a.json", 1.0, plan={"value": 10.0, "unit": "s", "most": 20.0})
    same = _kept(tmp_path / "b.json", 2.0, plan={"value": 20.0, "unit": "s", "most": 20.0})
    slower = _kept(tmp_path / "c.json", 1.0, plan={"value": 16.0, "unit": "s", "most": 20.0})
    assert compare.compared(before, same)[1] == []
    assert compare.compared(before, slower)[1] == ["plan"]


def test_rates_ratios_and_missed_wishes_are_told(tmp_path: Path) -> None:
    ratio = {"unit": "×", "least": 900.0}
    before = _kept(
        tmp_path / "a.json", 1.0, rate={"value": 100.0, "unit": "/s"}, ratio={"value": 1000.0, **ratio},
        share={"value": 10.0, "unit": "%"}, gone={"value": 1.0},
    )  # fmt: skip
    after = _kept(
        tmp_path / "b.json", 1.0, rate={"value": 60.0, "unit": "/s"}, ratio={"value": 890.0, **ratio},
        share={"value": 40.0, "unit": "%"}, new={"value": 1.0},
    )  # fmt: skip
    assert compare.compared(before, after)[1] == ["rate", "ratio"]


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"pace": "x", "figures": []}', '{"pace": 1, "figures": [{"x": 1}]}']
)
def test_a_file_that_is_no_kept_run_is_named(tmp_path: Path, text: str) -> None:
    file = tmp_path / "bad.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(SystemExit, match=r"bad\.json"):
        compare.read(file)
