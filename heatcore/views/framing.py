"""What a camera shows: from the world to the frame and back.

Frame coordinates are counted in frame heights from the picture's middle, x to the right and y up:
a picture 16:9 reaches from -0.889 to 0.889 and from -0.5 to 0.5.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.views.view import View

SENSOR = 36.0  # mm, the width that a lens is given for


@dataclass(frozen=True, eq=False)
class Framing:
    """A camera and what it takes in.

    Attributes
    ----------
    camera : looks along its -Z, its Y is the picture's up
    aspect : width over height
    lens : focal length for a sensor 36 mm wide [mm]; 0 for an orthographic camera
    width : width of what an orthographic camera shows [m]; 0 for a perspective one
    shift : (x, y) lens shift, as shares of the picture's width
    clip : (near, far) distances from the camera that are drawn [m]
    """

    camera: Frame
    aspect: float
    lens: float = 0.0
    width: float = 0.0
    shift: tuple[float, float] = (0.0, 0.0)
    clip: tuple[float, float] = (0.05, 500.0)

    @classmethod
    def of(cls, view: View) -> Framing:
        """The framing of a view."""
        return cls(view.camera, view.aspect, view.lens, view.width, view.shift, view.clip)

    def height_at(self, depth: Any) -> Any:
        """Height of what the frame shows (...) at distances before the camera (...) [m]."""
        width = (
            np.asarray(depth, dtype=np.float64) * SENSOR / self.lens if self.lens else self.width
        )
        return (width + 0.0 * np.asarray(depth, dtype=np.float64)) / self.aspect

    def project(self, points: Any) -> Floats:
        """Frame coordinates x, y and the distance before the camera (..., 3) of points (..., 3).

        What lies behind a perspective camera has no place in the frame: x, y are infinite.
        """
        local = self.camera.to_local(points)
        depth = -local[..., 2]
        ahead = (depth > 1e-9) if self.lens else np.ones(depth.shape, dtype=bool)
        height = self.height_at(np.where(ahead, depth, 1.0))
        shift = np.array(self.shift) * self.aspect
        at = local[..., :2] / height[..., None] - shift
        return np.concatenate([np.where(ahead[..., None], at, np.inf), depth[..., None]], axis=-1)

    def lift(self, at: Any, depth: Any) -> Floats:
        """World points (..., 3) seen at frame coordinates (..., 2) at distances (...) [m]."""
        at = np.asarray(at, dtype=np.float64)
        depth = np.broadcast_to(np.asarray(depth, dtype=np.float64), at.shape[:-1])
        plan = (at + np.array(self.shift) * self.aspect) * self.height_at(depth)[..., None]
        return self.camera.to_world(np.concatenate([plan, -depth[..., None]], axis=-1))

    def shows(self, points: Any, margin: float = 0.0) -> Any:
        """Whether points (..., 3) lie in the frame, this far inside its edge [frame heights]."""
        x, y, depth = np.moveaxis(self.project(points), -1, 0)
        inside = (np.abs(x) <= self.aspect / 2 - margin) & (np.abs(y) <= 0.5 - margin)
        return inside & (depth >= self.clip[0]) & (depth <= self.clip[1])


def level_axes(yaw: float) -> Floats:
    """Axes (3, 3) of a camera that looks level, `yaw` [rad] from world X counter-clockwise."""
    c, s = cos(yaw), sin(yaw)
    return locked([(s, -c, 0.0), (0.0, 0.0, 1.0), (-c, -s, 0.0)])


def plan_axes(turn: float) -> Floats:
    """Axes (3, 3) of a camera that looks down, the world direction `turn` [rad] to its right."""
    c, s = cos(turn), sin(turn)
    return locked([(c, s, 0.0), (-s, c, 0.0), (0.0, 0.0, 1.0)])


def fitted(
    points: Any,
    axes: Floats,
    aspect: float,
    room: tuple[float, float, float, float],
    front: float,
) -> Framing:
    """The orthographic framing that shows points as large as the room for them allows.

    Parameters
    ----------
    points : (n, 3) what must be in the picture [m]
    axes : (3, 3) of the camera
    aspect : of the picture, width over height
    room : what stays free of them at the left, the right, the bottom and the top [frame heights]
    front : where the near plane lies along the camera's Z in the world: what lies further toward
        the camera is cut away [m]
    """
    left, right, bottom, top = room
    at = np.asarray(points, dtype=np.float64) @ axes.T
    low, high = at[:, :2].min(axis=0), at[:, :2].max(axis=0)
    span = np.maximum(high - low, 1e-3)
    free = np.array([aspect - left - right, 1.0 - bottom - top])
    height = float(np.max(span / free))
    # The middle of the room, seen from the middle of the frame.
    off = np.array([left - right, bottom - top]) / 2 * height
    middle = (low + high) / 2 - off
    origin = np.array([*middle, front + BACK]) @ axes
    return Framing(Frame(origin, axes), aspect, width=height * aspect, clip=(BACK, BACK + 300.0))


BACK = 3.0  # m from an orthographic camera to what it shows first
