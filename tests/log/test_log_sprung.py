"""A trap that lies sprung and empty: typical stories lead to their cause in a few looks, and into the log."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest
from typer.testing import CliRunner

from setwright.basis.errors import BadInput
from setwright.cli.main import app
from setwright.desk import log
from setwright.desk.log_sprung import likely, read_looks
from setwright.log import kinds
from setwright.log.sprung import MOST_LOOKS, next_look, weights
from setwright.log.tables import sprung_tree

DEMO = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data" / "demo" / "line-book.yaml"
STORIES = [
    ("land", {"lies": "out of the bed", "ground": "dug up"}, "dug"),
    ("land", {"chain": "tight", "jaws": "toe or skin", "ground": "torn up around"}, "pulled"),
    ("land", {"night": "hard frost or thaw", "ground": "nothing to read", "lies": "in the bed"}, "frost"),
    ("land", {"ground": "hoof marks"}, "stock"),
    ("land", {"ground": "small tracks", "lies": "in the bed"}, "light"),
    ("land", {"ground": "tracks of a furbearer", "lies": "in the bed", "chain": "loose"}, "beside"),
    ("land", {"lies": "gone", "ground": "boot prints"}, "person"),
    ("water", {"night": "high water, waves, ice", "jaws": "stick or clod"}, "water"),
    ("water", {"chain": "tight", "jaws": "hair"}, "wrung"),
    (
        "water",
        {"night": "dry and mild", "jaws": "nothing", "lies": "in the bed", "ground": "nothing to read"},
        "fault",
    ),
]


@pytest.mark.parametrize(("medium", "seen", "cause"), STORIES)
def test_a_typical_story_leads_to_its_cause(medium: str, seen: dict[str, str], cause: str) -> None:
    tree = sprung_tree()
    found = weights(tree, medium, seen)
    assert sum(found) == pytest.approx(1.0)
    assert tree.causes[max(range(len(found)), key=lambda k: found[k])].key == cause
    for order in permutations(seen.items()):
        assert weights(tree, medium, dict(order)) == pytest.approx(found)


@pytest.mark.parametrize("medium", ["land", "water"])
def test_looks_come_in_the_order_in_which_they_tell_most_and_end(medium: str) -> None:
    tree = sprung_tree()
    for story in STORIES:
        seen: dict[str, str] = {}
        while (look := next_look(tree, medium, seen)) is not None:
            assert look.key not in seen
            answer = story[1].get(look.key, next(iter(look.answers)))
            try:
                weights(tree, medium, {**seen, look.key: answer})
            except BadInput:
                break
            seen[look.key] = answer
        assert len(seen) <= MOST_LOOKS


def test_causes_of_the_other_medium_are_left_out() -> None:
    tree = sprung_tree()
    for medium, other in (("land", "water"), ("water", "land")):
        for cause, weight in zip(tree.causes, weights(tree, medium, {}), strict=True):
            assert (weight == 0.0) == (cause.medium == other)


def test_wrong_looks_are_told() -> None:
    tree = sprung_tree()
    with pytest.raises(BadInput, match="no such look"):
        weights(tree, "land", {"smell": "bad"})
    with pytest.raises(BadInput, match="no such answer"):
        weights(tree, "land", {"chain": "blue"})
    with pytest.raises(BadInput):
        weights(tree, "air", {})
    for words in (["chain"], ["chain=tight", "chain=loose"]):
        with pytest.raises(BadInput):
            read_looks(words)


def test_the_command_asks_weighs_and_writes(tmp_path: Path) -> None:
    book = tmp_path / "line.yaml"
    book.write_bytes(DEMO.read_bytes())
    run = CliRunner()
    log.add(book, ["1s"], at="2024-11-20 15:00")
    done = run.invoke(app, ["log", "sprung", str(book), "1", "lies=out of the bed", "ground=dug up"])
    assert done.exit_code == 0, done.output
    assert "dug the trap up" in done.output and "Change one thing" in done.output and "Saved" in done.output
    event = log.read(book)[-1]
    assert event.kind == kinds.SPRUNG and event.details["evidence"] == "digging"
    assert event.details["looks"] == ["lies: out of the bed", "ground: dug up"]
    assert event.details["change"] == likely(book, "1", {"lies": "out of the bed", "ground": "dug up"}).change
    asked = run.invoke(app, ["log", "sprung", str(book), "1"], input="1\n1\n1\n1\n1\n")
    assert asked.exit_code == 0, asked.output
    assert "?" in asked.output and len(log.read(book)) == 3
    only = run.invoke(app, ["log", "sprung", str(book), "1", "lies=in the bed", "--look-only"], input="\n")
    assert only.exit_code == 0 and len(log.read(book)) == 3
