"""Salt or glycol in a cover, as the line book states it: frost, refusals, and what is said beside it."""

from __future__ import annotations

import shutil
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.plan import one_set
from setwright.desk.tonight import read_evening, tonight
from setwright.line.records import Fresh
from setwright.sets.evening_frost import covers_tried, frost_evening
from setwright.sets.order import frozen_night

COVER = "cover: {kind: loam-wet, depth: 1/2 in}"


@pytest.fixture
def book(tmp_path: Path):
    shutil.copytree(DATA / "demo", tmp_path / "demo")
    path = tmp_path / "demo" / "line-book.yaml"
    plain = path.read_text()
    assert plain.count(COVER) == 1

    def write(additive: str | None, cover: str = "loam-wet") -> Path:
        more = "" if additive is None else f", additive: {{{additive}}}"
        path.write_text(plain.replace(COVER, f"cover: {{kind: {cover}, depth: 1/2 in{more}}}"))
        return path

    return write


def orchard(path: Path):
    job = read_evening(path, Fresh(), draws=100)
    return job.contexts["orchard"], job.stated["orchard"]


def test_saltier_never_freezes_harder(book):
    ice, crust, lost = [], [], []
    for share in (None, "1 %", "3 %", "6 %", "10 %", "15 %", "23.3 %"):
        additive = None if share is None else f"kind: sodium-chloride, strength: {share}"
        context, rig = orchard(book(additive))
        night, evening = frozen_night(context, rig), frost_evening(context, rig)
        assert night is not None and evening is not None
        ice.append(night.thickness * night.saturation)
        crust.append(night.thickness)
        lost.append(float(evening.lost.mean()))
    for weaker, stronger in pairwise(ice):
        assert np.all(stronger <= weaker + 1e-9)
    for weaker, stronger in pairwise(crust[1:]):
        assert np.all(stronger <= weaker + 1e-9)
    assert lost == sorted(lost, reverse=True) and lost[0] > 5.0 and lost[-1] == 0.0


def test_part_of_the_brine_stays_liquid_below_its_freezing_point(book):
    context, rig = orchard(book("kind: sodium-chloride, strength: 5 %"))
    night = frozen_night(context, rig)
    assert night is not None
    cold = night.temperature < -2.97 - 0.2
    full = float(np.max(frozen_night(*orchard(book(None))).saturation))
    assert cold.any() and 0.0 < float(night.saturation[cold].max()) < 0.8 * full, (
        "Lange's table 5.13: 5 % at -2.97 degC"
    )


def test_a_cover_laid_in_its_place_takes_no_salt_along(book):
    context, rig = orchard(book("kind: sodium-chloride, strength: 10 %"))
    bare, own = orchard(book(None))
    tried = covers_tried(context, rig, ["dry-dirt"])[0]
    assert np.array_equal(tried.lost, covers_tried(bare, own, ["dry-dirt"])[0].lost)


@pytest.mark.parametrize(
    ("additive", "field", "said"),
    [
        ("kind: ethylene-glycol, strength: 30 %", "kind", ("poisons pets, stock and wildlife", "propylene-glycol")),
        ("kind: table-salt, strength: 5 %", "kind", ("no such additive", "sodium-chloride", "calcium-chloride")),
        ("kind: sodium-chloride, strength: 40 %", "strength", ("23.3 %",)),
        ("kind: sodium-chloride, strength: 0 %", "strength", ("over 0",)),
        ("kind: sodium-chloride", "strength", ()),
    ],
)
def test_what_is_refused_names_the_field(book, additive, field, said):
    with pytest.raises(BadInput) as caught:
        orchard(book(additive))
    found = str(caught.value)
    assert f"cover.additive.{field}" in found and all(part in found for part in said), found


def test_nothing_is_mixed_into_no_cover(book):
    with pytest.raises(BadInput, match="no cover to mix it into"):
        orchard(book("kind: sodium-chloride, strength: 5 %", cover="none"))


def test_it_is_named_with_rust_and_refusals(book):
    path = book("kind: sodium-chloride, strength: 10 %")
    part = one_set(path, "orchard", draws=60)
    assert "10 % salt in its water" in dict(part.rig.facts)["cover"]
    assert "rusts springs" in dict(part.rig.facts)["beside it, salt"]
    assert any("animals refuse" in caution.text and "chemicals" in caution.text for caution in part.cautions)
    evening = tonight(path, draws=60)
    one = next(one for one in evening.sets if one.site == "orchard")
    assert "10 % salt" in one.cover and any(caution.head == "Salt in the cover" for caution in evening.cautions)
