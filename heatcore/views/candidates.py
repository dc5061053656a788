"""Where a camera might stand, and which way it might look."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from heatcore.geometry.frames import Floats
from heatcore.views.stage import Stage, Subject

EYE_HEIGHT = 1.6  # m
# Distances from the floor's outline at which the camera may stand [m]; inside is negative.
RINGS = (-2.2, -1.5, -0.9, -0.45, 0.35, 0.8, 1.4, 2.2, 3.2)
STEP = 0.55  # m between two stands on a ring
MOST_ON_RING = 40
KEPT = 70  # stands worth a closer look
SQUARE = np.radians(24.0)  # a view this near to the floor's own directions is also tried square


@dataclass(frozen=True, eq=False)
class Stands:
    """Cameras to choose from.

    Attributes
    ----------
    eyes : (c, 3) where they are [m]
    yaws : (c,) the level directions in which they look, from world X counter-clockwise [rad]
    """

    eyes: Floats
    yaws: Floats


def stands(stage: Stage, subjects: tuple[Subject, ...]) -> Stands:
    """Stands round and inside the floor's outline from which most of the subjects are in sight."""
    eyes = _eyes(stage.floor)
    worth = sum(s.weight * stage.sees(eyes, s).mean(axis=1) for s in subjects)
    eyes = eyes[np.argsort(-np.asarray(worth), kind="stable")[:KEPT]]
    middle = np.concatenate([s.points for s in subjects])[:, :2].mean(axis=0)
    floor = np.array(stage.floor.centroid.coords[0])
    axes = main_direction(stage.floor) + np.arange(4) * np.pi / 2
    kept_eyes, yaws = [], []
    for eye in eyes:
        for target in (middle, (middle + floor) / 2):
            way = target - eye[:2]
            yaw = float(np.arctan2(way[1], way[0]))
            kept_eyes.append(eye)
            yaws.append(yaw)
        off = _turned(axes - yaw)
        nearest = int(np.argmin(np.abs(off)))
        if abs(off[nearest]) < SQUARE:
            kept_eyes.append(eye)
            yaws.append(yaw + off[nearest])
    return Stands(np.array(kept_eyes), np.array(yaws))


def main_direction(outline: shapely.Polygon) -> float:
    """Direction of the longer side of the smallest rectangle round an outline [rad], 0 to pi."""
    corners = np.asarray(outline.minimum_rotated_rectangle.exterior.coords)
    sides = np.diff(corners[:3], axis=0)
    longer = sides[int(np.argmax(np.linalg.norm(sides, axis=1) + np.array([1e-6, 0.0])))]
    return float(np.arctan2(longer[1], longer[0]) % np.pi)


def _eyes(floor: shapely.Polygon) -> Floats:
    points = []
    for distance in RINGS:
        for ring in shapely.get_parts(floor.buffer(distance, join_style="mitre")):
            if ring.is_empty:
                continue
            line = ring.exterior
            count = int(np.clip(line.length / STEP, 4, MOST_ON_RING))
            at = np.linspace(0.0, line.length, count, endpoint=False)
            points.append(shapely.get_coordinates(shapely.line_interpolate_point(line, at)))
    plan = np.concatenate(points)
    return np.column_stack([plan, np.full(len(plan), EYE_HEIGHT)])


def _turned(angle: Any) -> Any:
    return (angle + np.pi) % (2 * np.pi) - np.pi
