"""The drawing of anchor and bed: one scale for both views, every part named, no words of the user as markup."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.desk.document_footing import FootingFigure
from setwright.draw import svg
from setwright.draw.footing import footing, footing_keys

BASE: dict[str, Any] = {
    "kind": "stake", "chain": 0.3, "angle": 0.33, "bed_length": 0.25, "bed_width": 0.2, "bed_depth": 0.06,
    "cover": 0.009, "spread": 0.14, "family": "coil", "springs": 2, "driven": 0.56, "thickness": 0.025,
    "layers": [{"label": "loam", "thickness": None}], "words": {"trap": "<b>&'\"", "anchor": "24 in T-bar"},
}  # fmt: skip
KINDS: dict[str, dict[str, Any]] = {
    "stake": {"lean": 0.2, "refused": 0.56},
    "crossed": {"lean": 0.7},
    "plate": {"driven": 1.3, "keyed": 1.2, "plate_length": 0.064, "plate_width": 0.025},
    "tree": {"driven": None},
    "root": {"driven": None, "thickness": 0.06},
    "sapling": {"driven": None, "thickness": 0.05},
    "drag": {"driven": None, "chain": 1.5},
    "weight": {"driven": None},
}


def figure(**changed: Any) -> FootingFigure:
    return FootingFigure.model_validate({**BASE, **changed})


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("width", [350.0, 900.0])
def test_every_kind_is_drawn_within_its_sheet(kind: str, width: float) -> None:
    part = figure(kind=kind, **KINDS[kind], sunk=0.03, board=(0.3, 0.25), frozen=0.04)
    root = ET.fromstring(footing(part, width))
    assert "one scale" in root.attrib["aria-label"]
    words = [node.text for node in root.iter() if node.tag.endswith("text")]
    assert any(said is not None and said.startswith("chain ") for said in words)
    for node in root.iter():
        if node.tag.endswith("text") and "transform" not in node.attrib:
            assert -1.0 <= float(node.attrib["x"]) <= width + 1.0
    ET.fromstring(svg.standalone(footing(part, width)))


def first(pattern: str, text: str) -> float:
    """The number that a pattern finds."""
    found = re.search(pattern, text)
    assert found is not None, pattern
    return float(found.group(1))


LEVEL = r'class="g heavy bed" d="M[\d.]+ ([\d.]+)L'
JAWS = r'stroke-width="4.5" cx="[\d.]+" cy="[\d.]+" r="([\d.]+)"'
TIP = r'class="g" stroke-width="4.5" d="M[\d.]+ [\d.]+L[\d.]+ ([\d.]+)"'


def test_both_views_have_one_scale() -> None:
    text = footing(figure(), 900.0)
    assert (first(TIP, text) - first(LEVEL, text)) / (first(JAWS, text) / 0.07) == pytest.approx(0.56, rel=0.01)


@settings(max_examples=30)
@given(st.floats(0.05, 1.5), st.floats(0.2, 1.5), st.floats(0.0, 1.5))
def test_depth_is_to_scale_whatever_the_sizes(chain: float, driven: float, angle: float) -> None:
    text = footing(figure(chain=chain, driven=driven, angle=angle), 900.0)
    deep = (first(TIP, text) - first(LEVEL, text)) / (first(JAWS, text) / 0.07)
    assert deep == pytest.approx(driven, rel=0.03)


def test_letters_of_the_narrow_cut_are_all_explained() -> None:
    layers = [{"label": "muck", "thickness": 0.3}, {"label": "stiff clay", "thickness": None}]
    part = figure(layers=layers, frozen=0.05)
    root = ET.fromstring(footing(part, 350.0))
    drawn = {node.text for node in root.iter() if node.text is not None and re.fullmatch(r"[A-Z]", node.text)}
    keys = dict(footing_keys(part))
    assert drawn == set(keys)
    told = " ".join(keys.values())
    assert all(word in told for word in ("muck", "stiff clay", "frozen", "T-bar", "<b>&'\""))


def test_words_are_never_markup() -> None:
    root = ET.fromstring(footing(figure(), 900.0))
    assert any(node.text == "<b>&'\"" for node in root.iter())
    assert not any(node.tag.endswith("}b") for node in root.iter())


def test_layers_and_a_turned_plate_lie_at_their_depths() -> None:
    layers = [{"label": "muck", "thickness": 0.5}, {"label": "stiff clay", "thickness": None}]
    text = footing(figure(kind="plate", layers=layers, **KINDS["plate"]), 900.0)
    level = first(LEVEL, text)
    boundary = first(r'class="g thin s-e dash" d="M[\d.]+ ([\d.]+)L', text) - level
    flat = first(r'class="g" stroke-width="5" d="M[\d.]+ ([\d.]+)L', text) - level
    assert flat / boundary == pytest.approx(1.2 / 0.5, rel=0.01)
    assert "turned" in text and "driven" in text and "stiff clay, from" in text
