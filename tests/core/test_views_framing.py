"""From the world to the frame and back, as a pinhole camera and a parallel projection do it."""

from __future__ import annotations

from math import atan, degrees, radians, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatcore.geometry.frames import Frame
from heatcore.views.framing import Framing, fitted, level_axes, plan_axes

PERSPECTIVE = Framing(
    Frame(np.array([3.0, -2.0, 1.6]), level_axes(radians(70.0))),
    16 / 9,
    lens=24.0,
    shift=(0.02, 0.09),
)
PARALLEL = Framing(Frame(np.array([1.0, 2.0, 5.0]), plan_axes(0.3)), 1.5, width=9.0)


@pytest.mark.parametrize("yaw", [0.0, 1.0, -2.5])
def test_a_level_camera_looks_where_it_is_told_and_keeps_verticals_vertical(yaw: float) -> None:
    axes = level_axes(yaw)
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert -axes[2] == pytest.approx([np.cos(yaw), np.sin(yaw), 0.0])
    assert axes[1] == pytest.approx([0.0, 0.0, 1.0])


def test_a_24_mm_lens_takes_in_74_degrees_across() -> None:
    # Lens tables print 73.7 degrees across for 24 mm on a frame 36 mm wide.
    framing = Framing(Frame(np.zeros(3), level_axes(0.0)), 1.5, lens=24.0)
    edge = framing.lift(np.array([-0.75, 0.0]), 1.0)
    assert degrees(2 * atan(edge[1])) == pytest.approx(73.7, abs=0.05)


def test_shift_moves_the_picture_without_tilting_it() -> None:
    framing = Framing(Frame(np.zeros(3), level_axes(0.0)), 2.0, lens=36.0, shift=(0.0, 0.1))
    # The horizon falls by the shift: a tenth of the width, a fifth of the height.
    assert framing.project([5.0, 0.0, 0.0])[1] == pytest.approx(-0.2)
    low, high = framing.project([[5.0, 1.0, -1.0], [5.0, 1.0, 2.0]])
    assert low[0] == pytest.approx(high[0])


@pytest.mark.parametrize("framing", [PERSPECTIVE, PARALLEL])
@given(x=st.floats(-1, 1), y=st.floats(-1, 1), depth=st.floats(0.3, 50))
def test_there_and_back(framing: Framing, x: float, y: float, depth: float) -> None:
    back = framing.project(framing.lift(np.array([x, y]), depth))
    assert back == pytest.approx([x, y, depth], abs=1e-9)


def test_what_is_behind_the_camera_is_not_shown() -> None:
    behind = PERSPECTIVE.camera.to_world([0.0, 0.0, 1.0])
    assert not np.isfinite(PERSPECTIVE.project(behind)[:2]).any()
    assert not PERSPECTIVE.shows(behind)
    assert PERSPECTIVE.shows(PERSPECTIVE.lift(np.array([0.0, 0.0]), 3.0))


def test_a_frame_is_as_high_as_its_lens_says() -> None:
    # At 10 m a 36 mm lens shows 10 m across.
    framing = Framing(Frame(np.zeros(3), level_axes(0.0)), 2.0, lens=36.0)
    assert framing.height_at(10.0) == pytest.approx(5.0)
    assert PARALLEL.height_at(10.0) == pytest.approx(6.0)


def test_a_fitted_framing_fills_the_room_that_is_left() -> None:
    rng = np.random.default_rng(7)
    points = rng.uniform(-3, 4, (50, 3))
    room = (0.3, 0.1, 0.2, 0.05)
    framing = fitted(points, plan_axes(0.4), 16 / 9, room, front=2.0)
    at = framing.project(points)[:, :2]
    low, high = at.min(axis=0), at.max(axis=0)
    x0, x1, y0, y1 = -8 / 9 + 0.3, 8 / 9 - 0.1, -0.5 + 0.2, 0.5 - 0.05
    assert low[0] >= x0 - 1e-9
    assert high[0] <= x1 + 1e-9
    assert low[1] >= y0 - 1e-9
    assert high[1] <= y1 + 1e-9
    assert max((high[0] - low[0]) / (x1 - x0), (high[1] - low[1]) / (y1 - y0)) == pytest.approx(1.0)
    assert (low + high) / 2 == pytest.approx([(x0 + x1) / 2, (y0 + y1) / 2])
    # What lies above the cut is nearer than the near plane.
    depth = framing.project(points)[:, 2]
    assert ((depth < framing.clip[0]) == (points[:, 2] > 2.0)).all()


def test_a_pitch_reads_true_in_a_parallel_projection() -> None:
    framing = Framing(Frame(np.zeros(3), level_axes(radians(90.0))), 1.6, width=8.0)
    low, high = framing.project([[0.0, 5.0, 2.0], [3.0, 9.0, 2.0 + 3.0 * tan(radians(40.0))]])[
        :, :2
    ]
    run, rise = high - low
    assert degrees(atan(rise / run)) == pytest.approx(40.0)
