"""Where the scene wants a heater, and what is there to carry it.

What cannot be is refused here: no roof overhead, a beam out of reach, a type that is not made for
the mount. What can be hung, but not well, is for the solver to say.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2

import numpy as np
from shapely import MultiPoint

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.mounting.carriers import Carrier, is_timber, named_carrier
from heatcore.mounting.landmarks import line_of, plan_place, target
from heatcore.mounting.pose import Pose, pose
from heatcore.mounting.structure import Structure, Underside, undersides_above
from heatcore.mounting.uprights import nearest_face
from heatcore.scene.model import Heater, Scene
from heatcore.scene.plan import where
from heatcore.scene.space import Rafters, Solid, Wall
from heatcore.scene.types import HeaterType
from heatcore.units import format_length

DOWN = np.array([0.0, 0.0, -1.0])
UP = np.array([0.0, 0.0, 1.0])
OVERHEAD = (Kind.ROOF, Kind.RAFTER, Kind.BEAM)

# Common practice, no source: what a screw anchor holds in. Stucco, plaster and tiles only cover it.
_MASONRY = frozenset({"stone", "granite", "concrete", "brick"})


@dataclass(frozen=True, eq=False)
class Spot:
    """Where a heater is wanted.

    Attributes
    ----------
    heater : as the scene describes it
    type : its type
    spacing : between its two brackets [m]
    origin : (3,) centre of the emitting face at travel 0; of a beam mount, of its two clamps in
        plan, which a tilt leaves where they are [m]
    away : (3,) unit vector along which it moves from its surface
    heading : direction of its X in plan [rad]
    up : (3,) direction of its Z before it is tilted
    carrier : name of what carries it
    surface : parts that its feet may stand on
    sound : those of them, and beside them, that hold a screw: timbers, beams and masonry
    steepness : rise in run of the surface met over it, seen along the travel
    wanted : the travel at which it hangs at the height asked for [m]; None where that is free
    aim : (3,) the point that its axis should meet [m]; None where it is not aimed
    """

    heater: Heater
    type: HeaterType
    spacing: float
    origin: Floats
    away: Floats
    heading: float
    up: Floats
    carrier: str
    surface: tuple[Part, ...]
    sound: tuple[Part, ...]
    steepness: float
    wanted: float | None
    aim: Floats | None

    def pose(self, tilt: float) -> Pose:
        """The heater, turned."""
        turned = pose(self.type, self.spacing, self.origin, self.away, self.heading, self.up, tilt)
        if self.heater.mount != "beam":
            return turned
        swing = self.origin - turned.pivots.mean(axis=0)
        return turned.moved(np.array([swing[0], swing[1], 0.0]))

    def tilt_from(self, origin: Floats) -> float:
        """The tilt that is set, or that takes the axis through what it is aimed at [rad].

        Parameters
        ----------
        origin : (3,) centre of the emitting face [m]
        """
        if self.aim is None:
            return self.heater.tilt or 0.0
        _, y, z = self.pose(0.0).rest @ (self.aim - origin)
        return atan2(float(y), -float(z))


def place(heater: Heater, scene: Scene, model: Model, structure: Structure) -> Spot:
    """Find where a heater is to hang.

    Raises
    ------
    InputError
        If the scene does not say where, or there is nothing to fix it to.
    """
    kind = scene.heater_types.get(heater.type)
    if kind is None:
        raise InputError(
            where(heater, "type"),
            f'refers to "{heater.type}", and there is no such heater type',
            f"name one of {', '.join(sorted(scene.heater_types))}",
        )
    if heater.mount not in kind.mounts:
        raise InputError(
            where(heater, "mount"),
            f'is "{heater.mount}", and the type "{kind.name}" is not made for that',
            f"choose one of {', '.join(kind.mounts)}, or another type",
        )
    carrier = named_carrier(heater, scene)
    at = plan_place(heater, scene, model)
    finder = _Finder(heater, kind, scene, model, structure, at, target(heater, model))
    if heater.mount == "wall":
        return finder.on_wall(carrier)
    if heater.mount == "beam" or is_timber(carrier):
        return finder.under_timber(carrier)
    return finder.under_roof(carrier)


@dataclass(frozen=True, eq=False)
class _Finder:
    """One heater on its way to its spot."""

    heater: Heater
    type: HeaterType
    scene: Scene
    model: Model
    structure: Structure
    at: Floats
    aim: Floats | None

    @property
    def spacing(self) -> float:
        return self.type.spacing if self.heater.spacing is None else self.heater.spacing

    # ------------------------------------------------------------------ under a roof

    def under_roof(self, carrier: Carrier | None) -> Spot:
        """Under a roof, or rafters, that are named or that it meets going straight up."""
        heading = self.heater.heading or 0.0
        ceilings = tuple(solid for solid in self.scene.solid if solid.role == "ceiling")
        things: tuple[Carrier, ...] = (
            (*self.scene.roof, *ceilings) if carrier is None else (carrier,)
        )
        met = [
            (over, thing) for thing in things if (over := self._met(self._parts(thing), heading))
        ]
        if isinstance(carrier, Rafters) and not met:
            # Between two timbers there is still their roof above.
            over_roof = self._met(self.model.owned_by(carrier.roof), heading)
            met = [(over_roof, carrier)] if over_roof is not None else []
        if not met:
            raise self._nothing_overhead(carrier)
        over, roof = min(met, key=lambda found: found[0].rise)
        surface = self._parts(roof)
        sound = surface
        if not isinstance(roof, Rafters):
            timbers = tuple(
                part
                for rafters in self.scene.rafters
                if rafters.roof == roof.name
                for part in self._parts(rafters)
            )
            # What the client confirmed to hold a screw does, where no timber is drawn.
            confirmed = not timbers and "structure" in self.scene.site.confirmed
            holds = surface if confirmed else _masonry(surface)
            sound = timbers + tuple(self.model.of(Kind.BEAM)) + holds
            surface += timbers
        return self._overhead(roof.name, over, heading, surface, sound)

    def _met(self, parts: tuple[Part, ...], heading: float) -> Underside | None:
        """The lowest underside over the heater's middle, or else over one of its brackets."""
        half = self.spacing / 2 * np.array([np.cos(heading), np.sin(heading)])
        middle, *ends = undersides_above(
            self.structure.soup,
            np.array([[*(self.at + side * half), 0.0] for side in (0.0, -1.0, 1.0)]),
            self.structure.numbers(parts),
        )
        if middle is not None:
            return middle
        return min((e for e in ends if e is not None), key=lambda e: e.rise, default=None)

    def _nothing_overhead(self, carrier: Carrier | None) -> InputError:
        x, y = (self._length(c) for c in self.at)
        what = "no roof" if carrier is None else f'nothing of "{carrier.name}"'
        if carrier is None and self.scene.roof:
            what = "no roof, nor a slat or a timber of one,"
        return InputError(
            where(self.heater, "mounted_on" if carrier else "at"),
            f"there is {what} above it, at {x}, {y}",
            "move it under a roof, or mount it on a wall or a beam",
        )

    # ------------------------------------------------------------------ under a beam

    def under_timber(self, carrier: Carrier | None) -> Spot:
        """Under a beam or rafters that are named, or under the nearest beam."""
        things = [carrier] if carrier is not None else list(self.scene.beam)
        timbers = [(part, thing.name) for thing in things for part in self._parts(thing)]
        if not timbers:
            raise InputError(
                where(self.heater, "mounted_on"),
                "there is no beam to hang it from",
                "add a beam, or choose another mount",
            )
        off = [self._beside(part) for part, _ in timbers]
        nearest = int(np.argmin(off))
        part, name = timbers[nearest]
        if off[nearest] > self.type.length / 2:
            raise InputError(
                where(self.heater, "mounted_on"),
                f'"{name}" passes {self._length(off[nearest])} beside it',
                "move it under the beam, or name another",
            )
        heading = self.heater.heading
        if heading is None:
            heading = _direction(carrier, part, self.scene, name)
        surface = tuple(part for part, owner in timbers if owner == name)
        over = self._met((part,), heading) or Underside(float(part.mesh.bounds[0, 2]), 0, UP)
        return self._overhead(name, over, heading, surface, surface)

    def _beside(self, part: Part) -> float:
        """How far a part lies beside the heater's middle in plan [m]."""
        faces = part.mesh.corners[part.mesh.normals[:, 2] < -0.1][..., :2]
        edges = np.roll(faces, -1, axis=1) - faces
        off = self.at - faces
        cross = edges[..., 0] * off[..., 1] - edges[..., 1] * off[..., 0]
        if ((cross <= 0.0).all(axis=1) | (cross >= 0.0).all(axis=1)).any():
            return 0.0
        square = np.maximum((edges * edges).sum(axis=2), 1e-30)
        share = np.clip((off * edges).sum(axis=2) / square, 0.0, 1.0)
        away = np.linalg.norm(off - share[..., None] * edges, axis=2)
        return float(away.min(initial=np.inf))

    # ------------------------------------------------------------------ on a wall

    def on_wall(self, carrier: Carrier | None) -> Spot:
        """On a wall that is named, or on the nearest one."""
        heater = self.heater
        if heater.height is None:
            raise InputError(
                where(heater, "height"),
                "is missing, and nothing else says how high on the wall it hangs",
                "give the height of its emitting face above the floor",
            )
        if heater.attitude == "slope":
            raise InputError(
                where(heater, "attitude"),
                "is slope, and a wall has none to follow",
                "leave it out, and give a tilt",
            )
        solids = tuple(solid for solid in self.scene.solid if solid.role == "wall")
        walls: tuple[Carrier, ...] = (*self.scene.wall, *solids) if carrier is None else (carrier,)
        found = []
        for wall in walls:
            met = self._on_line(wall) if isinstance(wall, Wall) else self._on_face(wall)
            if met is not None:
                foot, out = met
                found.append((float(np.linalg.norm(self.at - foot)), foot, out, wall))
        if not found and carrier is not None:
            raise InputError(
                where(heater, "height"),
                f'is {self._length(heater.height)}, and "{carrier.name}" has no upright face there',
                "hang it at another height, or name another wall",
            )
        if not found:
            raise InputError(
                where(heater, "mounted_on"),
                "there is no wall to hang it on",
                "add a wall, or choose another mount",
            )
        _, foot, out, wall = min(found, key=lambda entry: entry[0])
        surface = self._parts(wall)
        if not surface:
            raise InputError(
                where(heater, "mounted_on"),
                f'nothing of the wall "{wall.name}" is left to hang it on',
                "check the wall's openings and its height",
            )
        # So that +Y, to which a positive tilt leans the beam, looks out over the patio.
        heading = atan2(-out[0], out[1]) if heater.heading is None else heater.heading
        return Spot(
            heater, self.type, self.spacing,
            np.array([*foot, heater.height]), np.array([*out, 0.0]), heading, UP,
            wall.name, surface, _masonry(surface), 1.0, None, self.aim,
        )  # fmt: skip

    def _on_line(self, wall: Wall) -> tuple[Floats, Floats]:
        """The point of a wall nearest to the heater in plan, and what is out of the wall there."""
        start, along, out, length = line_of(wall, self.scene)
        return start + np.clip((self.at - start) @ along, 0.0, length) * along, out

    def _on_face(self, solid: Carrier) -> tuple[Floats, Floats] | None:
        """The same of a solid's upright faces at the heater's height; None where it has none."""
        faces = [part.mesh.corners for part in self._parts(solid)]
        return nearest_face(
            np.concatenate([np.empty((0, 3, 3)), *faces]),
            np.array([*self.at, self.heater.height]),
            self.spacing / 2,
        )

    # ------------------------------------------------------------------

    def _overhead(
        self,
        carrier: str,
        over: Underside,
        heading: float,
        surface: tuple[Part, ...],
        sound: tuple[Part, ...],
    ) -> Spot:
        height = self.heater.height
        wanted = None if height is None else over.rise - height
        origin = np.array([*self.at, over.rise])
        up = over.up if self.heater.attitude == "slope" else UP
        steepness = float(np.hypot(over.up[0], over.up[1]) / over.up[2])
        return Spot(
            self.heater, self.type, self.spacing, origin, DOWN, heading, up,
            carrier, surface, sound, steepness, wanted, self.aim,
        )  # fmt: skip

    def _length(self, metres: float) -> str:
        return format_length(float(metres), self.scene.site.units)

    def _parts(self, thing: Carrier) -> tuple[Part, ...]:
        on_wall = isinstance(thing, Wall) or self.heater.mount == "wall"
        kinds = (Kind.WALL,) if on_wall else OVERHEAD
        return tuple(part for part in self.model.owned_by(thing.name) if part.kind in kinds)


def _masonry(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    return tuple(part for part in parts if part.material.casefold().strip() in _MASONRY)


def _direction(carrier: Carrier | None, part: Part, scene: Scene, name: str) -> float:
    """Direction of a beam from its `from` end, or of a timber down its slope [rad]."""
    if not isinstance(carrier, (Rafters, Solid)):
        beam = next(beam for beam in scene.beam if beam.name == name)
        _, along, _, _ = line_of(beam, scene)
        return atan2(along[1], along[0])
    plan = MultiPoint(part.mesh.vertices[:, :2]).minimum_rotated_rectangle
    sides = np.diff(np.asarray(plan.exterior.coords)[:3], axis=0)
    line = max(sides, key=lambda side: float(np.hypot(*side)))
    ahead = (part.mesh.vertices[:, :2] - part.mesh.vertices[:, :2].mean(axis=0)) @ line
    rises = float(ahead @ part.mesh.vertices[:, 2])
    # Down the slope; of a level one, to the right.
    if (round(rises, 6), -round(float(line[0]), 6)) > (0.0, 0.0):
        line = -line
    return atan2(line[1], line[0])
