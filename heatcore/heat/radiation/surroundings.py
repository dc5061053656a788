"""What stands in the way of radiation, built once for a whole evaluation."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from heatcore.geometry.parts import Kind, Mesh, Model
from heatcore.geometry.rays import Obstacles
from heatcore.mounting.mount import BODY_TRIANGLES, Mount


@dataclass(frozen=True, eq=False)
class Surroundings:
    """Everything that stops a ray.

    Attributes
    ----------
    solids : the space, without people and without the heaters' bodies
    people : those who sit and stand there
    bodies : the heaters' bodies
    owner_of : for the name of each obstacle, the name of the thing that it belongs to
    """

    solids: Obstacles
    people: Obstacles
    bodies: Obstacles
    owner_of: Mapping[str, str]

    @cached_property
    def space(self) -> Obstacles:
        """The space and the heaters' bodies; people move, and stop nothing that is drawn."""
        return Obstacles.together(self.solids, self.bodies)

    @cached_property
    def peopled(self) -> Obstacles:
        """The same with the people."""
        return Obstacles.together(self.solids, self.bodies, self.people)

    def owners(self, obstacles: Obstacles) -> tuple[str, ...]:
        """Name of the thing that each of the obstacles, `space` or `peopled`, belongs to."""
        return tuple(self.owner_of[name] for name in obstacles.names)

    def hung_anew(self, mounts: Sequence[Mount]) -> Surroundings:
        """The same with the heaters elsewhere; only their bodies are built."""
        owner_of = {**self.owner_of, **{mount.name: mount.name for mount in mounts}}
        return replace(self, bodies=_bodies(mounts), owner_of=owner_of)


def surroundings(mounts: Sequence[Mount], model: Model) -> Surroundings:
    """Build what stops a ray: every part that is not swept, and the heaters' bodies."""
    parts = [part for part in model.parts if not part.swept]
    return Surroundings(
        solids=Obstacles((p.name, p.mesh) for p in parts if p.kind is not Kind.PERSON),
        people=Obstacles((p.name, p.mesh) for p in parts if p.kind is Kind.PERSON),
        bodies=_bodies(mounts),
        owner_of={p.name: p.owner for p in parts} | {m.name: m.name for m in mounts},
    )


def _bodies(mounts: Sequence[Mount]) -> Obstacles:
    return Obstacles((mount.name, Mesh(mount.body, BODY_TRIANGLES)) for mount in mounts)
