"""The colors of warmth: an order that survives a grey print and color blindness."""

from __future__ import annotations

import numpy as np
import pytest

from heatcore.views.ramp import BANDS, DISPLAYED, band_tones
from tests.core.colors import DEFICIENT, encoded, lab, linear, srgb

COLORS = np.array([srgb(DISPLAYED[tone]) for tone in BANDS])
# Common practice, no source: steps of lightness that a cheap grey print keeps apart.
GREY_STEP = 8.0
# Twice what is told apart at a glance (a difference of 10, common practice, no source).
APART = 20.0


def apart(colors: np.ndarray) -> np.ndarray:
    """Distances in CIELAB between neighbors."""
    return np.linalg.norm(np.diff(lab(colors), axis=0), axis=1)


def test_the_measure_of_color_is_right_where_it_is_known() -> None:
    # White, a middle grey and the red of sRGB, as color tables print them.
    assert lab(np.ones(3)) == pytest.approx([100.0, 0.0, 0.0], abs=0.01)
    assert lab(np.full(3, 119 / 255)) == pytest.approx([50.03, 0.0, 0.0], abs=0.01)
    assert lab(np.array([1.0, 0.0, 0.0])) == pytest.approx([53.24, 80.09, 67.20], abs=0.02)
    for matrix in DEFICIENT.values():
        # Grey stays grey to everybody.
        assert matrix.sum(axis=1) == pytest.approx(1.0, abs=1e-5)


def test_lightness_rises_in_even_steps() -> None:
    steps = np.diff(lab(COLORS)[:, 0])
    assert (steps >= GREY_STEP).all()
    assert steps.max() / steps.min() < 1.5


def test_neighbors_are_told_apart() -> None:
    assert (apart(COLORS) >= APART).all()


def test_a_grey_print_keeps_the_order() -> None:
    # Luma as a black and white copy weighs it, ITU-R BT.601.
    grey = np.repeat((COLORS @ [0.299, 0.587, 0.114])[:, None], 3, axis=1)
    assert (np.diff(lab(grey)[:, 0]) >= GREY_STEP).all()


@pytest.mark.parametrize("kind", DEFICIENT)
def test_the_color_blind_see_the_order_too(kind: str) -> None:
    seen = encoded(linear(COLORS) @ DEFICIENT[kind].T)
    assert (np.diff(lab(seen)[:, 0]) >= GREY_STEP).all()
    assert (apart(seen) >= 0.5 * APART).all()


def test_no_rainbow() -> None:
    """Every hue lies between purple and yellow, over red, and never turns back."""
    _, a, b = np.moveaxis(lab(COLORS), -1, 0)
    hue = np.degrees(np.arctan2(b, a))
    assert (np.diff(hue) > 0.0).all()
    assert hue[0] > -45.0
    assert hue[-1] < 110.0


@pytest.mark.parametrize("count", range(1, 7))
def test_fewer_bands_keep_the_order_and_both_ends(count: int) -> None:
    tones = band_tones(count)
    places = [BANDS.index(tone) for tone in tones]
    assert len(set(places)) == count
    assert places == sorted(places)
    assert places[0] == 0
    assert count == 1 or places[-1] == len(BANDS) - 1
