"""How a body lies to the radiation: its area, and the part of it that a direction sees.

Source: P. O. Fanger, Thermal Comfort, 1970 (projected-area factors from photographs of people,
clothed and unclothed), as tabulated in ANSI/ASHRAE 55 Appendix C for every 15 degrees, together
with the effective-area fractions. In a direction, a body shows the radiation the area
``f_p * f_eff * A``, where A is its skin's area.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.parts import USUAL_STATURE, Place

STEP = np.pi / 12  # rad between the tables' entries

# Rows: azimuth from the front, 0 to 180 degrees; columns: altitude, 0 to 90 degrees.
STANDING = locked(
    [
        (0.350, 0.350, 0.314, 0.258, 0.206, 0.144, 0.082),
        (0.342, 0.342, 0.310, 0.252, 0.200, 0.140, 0.082),
        (0.330, 0.330, 0.300, 0.244, 0.190, 0.132, 0.082),
        (0.310, 0.310, 0.275, 0.228, 0.175, 0.124, 0.082),
        (0.283, 0.283, 0.251, 0.208, 0.160, 0.114, 0.082),
        (0.252, 0.252, 0.228, 0.188, 0.150, 0.108, 0.082),
        (0.230, 0.230, 0.214, 0.180, 0.148, 0.108, 0.082),
        (0.242, 0.242, 0.222, 0.180, 0.153, 0.112, 0.082),
        (0.274, 0.274, 0.245, 0.203, 0.165, 0.116, 0.082),
        (0.304, 0.304, 0.270, 0.220, 0.174, 0.121, 0.082),
        (0.328, 0.328, 0.290, 0.234, 0.183, 0.125, 0.082),
        (0.344, 0.344, 0.304, 0.244, 0.190, 0.128, 0.082),
        (0.347, 0.347, 0.308, 0.246, 0.191, 0.128, 0.082),
    ]
)
SEATED = locked(
    [
        (0.290, 0.324, 0.305, 0.303, 0.262, 0.224, 0.177),
        (0.292, 0.328, 0.294, 0.288, 0.268, 0.227, 0.177),
        (0.288, 0.332, 0.298, 0.290, 0.264, 0.222, 0.177),
        (0.274, 0.326, 0.294, 0.289, 0.252, 0.214, 0.177),
        (0.254, 0.308, 0.280, 0.276, 0.241, 0.202, 0.177),
        (0.230, 0.282, 0.262, 0.260, 0.233, 0.193, 0.177),
        (0.216, 0.260, 0.248, 0.244, 0.220, 0.186, 0.177),
        (0.234, 0.258, 0.236, 0.227, 0.208, 0.180, 0.177),
        (0.262, 0.260, 0.224, 0.208, 0.196, 0.176, 0.177),
        (0.280, 0.260, 0.210, 0.192, 0.184, 0.170, 0.177),
        (0.298, 0.256, 0.194, 0.174, 0.168, 0.168, 0.177),
        (0.306, 0.250, 0.180, 0.156, 0.156, 0.166, 0.177),
        (0.300, 0.240, 0.168, 0.152, 0.152, 0.164, 0.177),
    ]
)
_TABLES = np.concatenate([STANDING.ravel(), SEATED.ravel()])
_ROWS, _COLUMNS = SEATED.shape

F_EFF_STANDING, F_EFF_SEATED = 0.725, 0.696

BODY_AREA = 1.8
"""Skin area of somebody of usual stature [m2]: the standard person of ISO 8996 (from memory); what
DuBois and DuBois (1916) give for 1.72 m and 69 kg. Another stature scales it as its square."""

POINT_WEIGHTS = locked([0.25, 0.5, 0.25])
"""Of ankles, waist and head: 1, 2 and 1, as ISO 7726 weighs them in surroundings that differ from
height to height (from memory)."""


@dataclass(frozen=True, eq=False)
class Bodies:
    """Bodies as the radiation meets them.

    A seated body's table knows it upright. One that lies back on a lounger, with the legs stretched
    out, counts as a straight body that leans back along the line from its ankles to its head: the
    table of a standing one, in the body's own frame. That a lying body is a standing one turned is
    usual; that it is straight at the hips is our simplification.

    Attributes
    ----------
    points : (n, 3, 3) ankles, waist and head of each [m]
    axes : (n, 3, 3) each body's directions ahead, left and up, as rows
    seated : (n,) whether the table of a seated body applies
    area : (n,) effective radiation area, f_eff times the skin's [m2]
    f_eff : (n,) effective-area fraction
    """

    points: Floats
    axes: Floats
    seated: np.ndarray[tuple[int], np.dtype[np.bool_]]
    area: Floats
    f_eff: Floats

    @classmethod
    def of(cls, places: Sequence[Place]) -> Bodies:
        """The bodies of the people at these places."""
        points = np.array([place.points for place in places]).reshape(-1, 3, 3)
        facing = np.array([place.facing for place in places])
        lying = np.array([place.posture == "lounging" for place in places], dtype=bool)
        seated = np.array([place.seated for place in places], dtype=bool) & ~lying
        stature = np.array([place.stature for place in places])
        f_eff = np.where(seated, F_EFF_SEATED, F_EFF_STANDING)
        return cls(
            points=locked(points),
            axes=locked(_axes(points, facing, lying)),
            seated=locked(seated, np.bool_),
            area=locked(f_eff * BODY_AREA * (stature / USUAL_STATURE) ** 2),
            f_eff=locked(f_eff),
        )

    def projected(self, directions: Floats) -> Floats:
        """Projected-area factors toward directions.

        Parameters
        ----------
        directions : (n, ..., 3) unit vectors from each body

        Returns
        -------
        (n, ...)
        """
        shape = directions.shape[:-1]
        own = directions.reshape(len(self.points), -1, 3) @ self.axes.transpose(0, 2, 1)
        altitude = np.arcsin(np.clip(own[..., 2], -1.0, 1.0))
        azimuth = np.arctan2(own[..., 1], own[..., 0])
        seated = self.seated[:, None]
        return projected_area_factor(seated, altitude, azimuth).reshape(shape)


def projected_area_factor(seated: object, altitude: object, azimuth: object) -> Floats:
    """Share of a body's effective area that it shows a direction, f_p.

    Bilinear between the tables' entries. A body is taken to be the same seen from the left and from
    the right, and seen from below the horizon as from equally far above it, for which there is no
    table.

    Parameters
    ----------
    seated : (...) whether the body sits; it stands otherwise
    altitude : (...) of the direction above the horizon, -90 to 90 degrees [rad]
    azimuth : (...) of the direction from where the body faces [rad]

    Returns
    -------
    (...) of a sphere it would be 0.25
    """
    up = np.minimum(np.abs(np.asarray(altitude, dtype=np.float64)) / STEP, _COLUMNS - 1)
    turn = np.asarray(azimuth, dtype=np.float64)
    round_ = np.abs(np.remainder(turn + np.pi, 2 * np.pi) - np.pi) / STEP
    row = np.minimum(round_.astype(np.int64), _ROWS - 2)
    column = np.minimum(up.astype(np.int64), _COLUMNS - 2)
    at = (np.asarray(seated).astype(np.int64) * _ROWS + row) * _COLUMNS + column
    v, u = round_ - row, up - column
    low = _TABLES[at] * (1 - u) + _TABLES[at + 1] * u
    high = _TABLES[at + _COLUMNS] * (1 - u) + _TABLES[at + _COLUMNS + 1] * u
    out: Floats = low * (1 - v) + high * v
    return out


def _axes(points: Floats, facing: Floats, lying: Floats) -> Floats:
    """(n, 3, 3) rows ahead, left and up of each body."""
    c, s, nothing = np.cos(facing), np.sin(facing), np.zeros_like(facing)
    ahead = np.column_stack([c, s, nothing])
    left = np.column_stack([-s, c, nothing])
    spine = points[:, 2] - points[:, 0]
    up = np.where(lying[:, None], spine, (0.0, 0.0, 1.0))
    up = up / np.linalg.norm(up, axis=1, keepdims=True)
    return np.stack([np.where(lying[:, None], np.cross(left, up), ahead), left, up], axis=1)
