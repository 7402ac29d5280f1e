"""Set cards: one A5 sheet per set whatever the words are, nothing read as a command, nothing left behind."""

from __future__ import annotations

import json
import re
import tempfile
import time
from importlib.resources import files
from pathlib import Path

import pytest

from setwright.desk.document import Plan
from setwright.sheets import cards, fonts
from setwright.sheets.cards import cut, set_cards
from sheets.example_plan import document, example

HOSTILE = (
    '#import "@preview/x:1.0.0": * $x$ \\ `raw` // no',
    '] } #panic("no") "quoted" \'single\' \\u{1f} <label> @ref',
    "<script>alert(1)</script> = head *bold* _under_ ~",
)


def sheets(paper: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", paper))


def test_one_a5_sheet_per_set() -> None:
    paper = set_cards(example())
    assert paper.startswith(b"%PDF")
    assert sheets(paper) == 3
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", paper)
    assert boxes
    for wide, high in boxes:
        assert float(wide) == pytest.approx(148 / 25.4 * 72, abs=0.1), "A5 width"
        assert float(high) == pytest.approx(210 / 25.4 * 72, abs=0.1), "A5 height"


def test_names_that_look_like_commands_are_only_words() -> None:
    assert sheets(set_cards(example(HOSTILE))) == 3


def test_long_texts_stay_on_their_sheet() -> None:
    data = document(("Long name " * 40, "W" * 400, "x"))
    for part in data["sets"]:
        part["must"] = "Do this before all else. " * 30
        part["steps"] = [f"step {k} " + "with many words " * 12 for k in range(20)]
        part["cautions"] = [{"head": f"Caution {k}", "text": "mind this " * 60} for k in range(12)]
        part["rig"]["facts"] = [[f"fact {k} of a long name", "a long value " * 12] for k in range(20)]
        part["law"] = [{**part["law"][1], "rule": f"Rule {k} " * 8, "question": "why? " * 40} for k in range(15)]
    assert sheets(set_cards(Plan.model_validate(data))) == 3


def test_the_same_plan_gives_the_same_bytes() -> None:
    first = set_cards(example())
    fonts.paper_face.cache_clear()
    time.sleep(1.1)  # a font that is stamped with the time of its making would differ now
    assert set_cards(example()) == first


def test_the_pan_and_the_release_of_a_dog_are_on_the_card() -> None:
    part = example().sets[1]
    card = cards._card(part, None)
    assert card["pan"][0] == "Look for 2 to 3.25 lbf, an invented span."
    assert "Trip force does not keep out: dog." in card["pan"]
    assert card["release"] == "Coat over the head, both levers in one press."
    assert not any(words.startswith("If a dog is held") for words in card["cautions"]), "said once"
    bare = part.model_copy(update={"trip_curve": None, "release": []})
    assert cards._card(bare, None)["pan"] == []
    assert cards._card(bare, None)["release"] == ""


def test_no_set_gives_one_sheet_that_says_so() -> None:
    plan = example()
    plan.sets.clear()
    assert sheets(set_cards(plan)) == 1


def test_nothing_is_left_behind(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    set_cards(example())
    assert list(tmp_path.iterdir()) == []


def test_type_on_the_card_is_never_under_eleven_points() -> None:
    source = (files("setwright.sheets") / "templates" / "card.typ").read_text(encoding="utf-8")
    sizes = [float(size) for size in re.findall(r"size: ([\d.]+)pt", source)]
    assert min(sizes) >= 11.0
    # Drawings are 440 px across 129 mm; their smallest text is 13.5 px.
    assert 13.5 * (129 / 25.4 * 72) / 440 >= 11.0


def test_a_cut_text_ends_at_a_word() -> None:
    assert cut("one two three", 40) == "one two three"
    assert cut("one two three four", 12) == "one two…"
    assert len(cut("x" * 300, 50)) == 50
    assert cut(" spaced \n out ", 40) == "spaced out"
    assert json.dumps(cut("“quoted”", 40))
