"""Lost hours within windows and bands, and covers with their quantities."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.ground.cover import cover_volume, fewest_lost, solute_mass, thinned_share
from setwright.ground.hours import lost_band, lost_hours

CODES = st.lists(st.sampled_from([-1, 0, 1, 2]), min_size=1, max_size=30)


@given(CODES, st.data())
def test_hours_are_counted_as_by_hand(codes: list[int], data: st.DataObject) -> None:
    window = data.draw(st.lists(st.booleans(), min_size=len(codes), max_size=len(codes)))
    found = lost_hours(codes, window)
    inside = [code for code, counts in zip(codes, window, strict=True) if counts]
    assert found.hours[0] == len(inside)
    assert (found.lost[0], found.doubtful[0], found.unknown[0]) == (
        inside.count(2),
        inside.count(1),
        inside.count(-1),
    )
    firsts = [place for place, (code, counts) in enumerate(zip(codes, window, strict=True)) if counts and code == 2]
    assert found.first[0] == (firsts[0] if firsts else -1)
    known = len(inside) - inside.count(-1)
    assert np.isnan(found.share[0]) if known == 0 else found.share[0] == pytest.approx(inside.count(2) / known)


def test_sites_have_windows_of_their_own() -> None:
    codes = np.array([[0, 2, 2, 0], [2, 0, 0, 0]])
    found = lost_hours(codes, [[True, True, False, False], [False, True, True, True]])
    assert found.lost.tolist() == [1, 0] and found.first.tolist() == [1, -1] and found.share.tolist() == [0.5, 0.0]
    with pytest.raises(OutOfRange):
        lost_hours(codes, [True, False])


def test_a_band_is_certain_only_where_its_ends_agree() -> None:
    mild, told, hard = ([[0, 0], [0, 0], [2, 0], [0, 0]], [[0, 0], [0, 2], [2, 2], [0, 0]],
                        [[0, 1], [2, 2], [2, 2], [0, -1]])  # fmt: skip
    found = lost_band(told, mild, hard)
    assert found.certain.tolist() == [True, False, True, False]
    assert found.hard.lost.tolist() == [0, 2, 2, 0] and found.mild.lost.tolist() == [0, 0, 1, 0]


def test_quantities_worked_by_hand() -> None:
    bed = float(cover_volume(0.3, 0.3, 0.02, 0.0))
    assert bed == pytest.approx(1.8e-3), "0.3 x 0.3 x 0.02 m are 1.8 litres, 0.48 US gallons"
    assert float(cover_volume(0.3, 0.3, 0.02)) == pytest.approx(2.25e-3)
    # 0.38 kg of water, freezing at -6, -10, -15 degC: 39, 61, 87 g of salt.
    for ratio, grams in ((0.102, 39), (0.163, 61), (0.230, 87)):
        assert 1e3 * float(solute_mass(bed, 0.21, ratio / (1.0 + ratio))) == pytest.approx(grams, abs=0.7)
    assert np.isnan(cover_volume(-0.3, 0.3, 0.02)) and np.isnan(solute_mass(bed, 0.2, [1.0, -0.1])).all()
    assert float(solute_mass(bed, 0.2, 0.0)) == 0.0


def test_the_first_cover_that_serves_is_taken() -> None:
    lost = [[5.0, 0.0, 9.0, np.nan, np.nan], [0.0, 0.0, 4.0, 3.0, np.nan], [0.0, 0.0, 6.0, 1.0, np.nan]]
    assert fewest_lost(lost).tolist() == [1, 0, 1, 2, -1]
    assert fewest_lost(lost, 5.0).tolist() == [0, 0, 1, 1, -1]


@given(st.floats(0.001, 0.3), st.floats(0.01, 0.4), st.floats(1.0, 20.0))
def test_water_thins_and_keeps_the_solute(share: float, laid: float, more: float) -> None:
    left = float(thinned_share(share, laid, laid * more))
    assert left <= share + 1e-12
    assert float(solute_mass(1.0, laid * more, left)) == pytest.approx(float(solute_mass(1.0, laid, share)))


def test_thinning_by_hand() -> None:
    # 10 g of salt to 90 g of water, and as much water again: 10 in 190.
    assert float(thinned_share(0.1, 0.2, 0.4)) == pytest.approx(10 / 190)
    assert np.isnan(thinned_share(0.1, 0.0, 0.4))
