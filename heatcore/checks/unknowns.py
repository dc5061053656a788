"""What the drawings do not say: taken at its cautious value, and asked of the client."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from heatcore.checks.undrawn_fans import cautious_parts, roofed, unknown_findings
from heatcore.checks.unknown import FAN_QUESTION, SIDES_QUESTION, Unknown, listed, quoted
from heatcore.checks.unknown_swings import swings
from heatcore.geometry.distance import Face, measure
from heatcore.geometry.openness import open_share, sides_of
from heatcore.geometry.parts import Kind, Mesh, Model
from heatcore.geometry.soup import Soup
from heatcore.mounting.mount import Mount
from heatcore.scene.materials import is_known
from heatcore.scene.model import Scene
from heatcore.scene.types import Distances

__all__ = ["Unknown", "cautious_parts", "unknown_findings", "unknowns"]

# Common practice, no source: farther off than this a thing's material, or its swing, is nothing to
# a heater.
SIGHT = 3.0  # m

# What has a material, by the scene's own names: what one of it is called, and several.
_KINDS = {
    "roof": ("roof", "roofs"),
    "rafters": ("rafters", "rafters"),
    "beam": ("beam", "beams"),
    "post": ("post", "posts"),
    "wall": ("wall", "walls"),
    "door": ("door", "doors"),
    "window": ("window", "windows"),
    "screen": ("screen", "screens"),
    "fitting": ("fitting", "fittings"),
    "cable": ("cable", "cables"),
    "platform": ("platform", "platforms"),
    "solid": ("solid", "solids"),
    "furniture": ("furniture", "furniture"),
}
# Common practice, no source: masonry that takes an anchor itself.
_MASONRY = frozenset({"stone", "granite", "concrete", "brick"})
# What has a surface that hides what holds it up.
_SURFACES = {Kind.ROOF: "roof", Kind.WALL: "wall"}
_FITTINGS = ("light", "speaker", "sprinkler")
_NOTHING_ASKED = Distances(above=0.0, sides=0.0, ends=0.0, below=0.0)


def unknowns(scene: Scene, model: Model, mounts: Sequence[Mount]) -> tuple[Unknown, ...]:
    """Find what the drawings do not say and what hangs on it.

    Materials, swings, fans, fittings, sides, structure, loads and the supply, in this order. Where
    no heater hangs, nothing is asked. What the site's own `unknowns` say stands beside these.

    Parameters
    ----------
    scene, model : as described, and made solid
    mounts : the heaters, hung

    Returns
    -------
    tuple of Unknown
        Each thing once, whatever number of findings it touches.
    """
    if not mounts:
        return ()
    near = _Near(model, mounts)
    return (
        *_not_stated(scene, near),
        *_not_in_table(scene, near),
        *swings(scene, near.heaters),
        *_fans(scene, model, mounts),
        *_fittings(scene),
        *_sides(scene, mounts),
        *_structure(scene, model, mounts),
        *_loads(mounts),
        *_supply(scene, mounts),
    )


class _Near:
    """Which heaters have a thing within sight, wherever it moves."""

    def __init__(self, model: Model, mounts: Sequence[Mount]) -> None:
        self._meshes: dict[str, list[Mesh]] = {}
        for part in model.parts:
            self._meshes.setdefault(part.owner, []).append(part.mesh)
        self._mounts = mounts
        self._seen: dict[str, frozenset[str]] = {}

    def heaters(self, *owners: str) -> tuple[str, ...]:
        """Names of the heaters that have one of some things within sight."""
        seen = frozenset[str]().union(*(self._by(owner) for owner in owners))
        return tuple(mount.name for mount in self._mounts if mount.name in seen)

    def _by(self, owner: str) -> frozenset[str]:
        if owner not in self._seen:
            meshes = self._meshes.get(owner, ())
            near = (mount.name for mount in self._mounts if _in_sight(mount, meshes))
            self._seen[owner] = frozenset(near)
        return self._seen[owner]


def _in_sight(mount: Mount, meshes: Sequence[Mesh]) -> bool:
    low, high = mount.body.min(axis=0) - SIGHT, mount.body.max(axis=0) + SIGHT
    close = [m for m in meshes if np.all(m.bounds[0] <= high) and np.all(m.bounds[1] >= low)]
    if not close:
        return False
    body = (mount.type.length, mount.type.width, mount.type.height)
    readings = measure(mount.frame, body, _NOTHING_ASKED, Soup.of(close), SIGHT)
    return any(r.face is Face.SHORTEST and r.distance <= SIGHT for r in readings)


def _made(scene: Scene) -> Iterator[tuple[str, str, str | None]]:
    """Yield kind, name and material of all whose material decides whether it burns."""
    floor = scene.floor
    if floor.combustible is None:
        yield "floor", "floor", floor.material
    for kind in _KINDS:
        for thing in getattr(scene, kind):
            if thing.combustible is None:
                yield kind, thing.name, thing.material


def _not_stated(scene: Scene, near: _Near) -> Iterator[Unknown]:
    groups: dict[str, list[str]] = {}
    for kind, name, material in _made(scene):
        if material is None and near.heaters(name):
            groups.setdefault(kind, []).append(name)
    for kind, names in groups.items():
        things, single = _called(kind, names), len(names) == 1
        are = "is" if single and kind != "rafters" else "are"
        yield Unknown(
            key=f"material.{kind}" + (f" {quoted(names[0])}" if single and kind != "floor" else ""),
            subject=f"what {things} {are} made of",
            taken="combustible",
            question=f"Could you tell us what {things} {are} made of?",
            heaters=near.heaters(*names),
        )


def _not_in_table(scene: Scene, near: _Near) -> Iterator[Unknown]:
    """Yield what is made of something that nothing is known of, material by material."""
    groups: dict[str, dict[str, list[str]]] = {}
    for kind, name, material in _made(scene):
        if material is not None and not is_known(material) and near.heaters(name):
            groups.setdefault(material, {}).setdefault(kind, []).append(name)
    for material, kinds in groups.items():
        things = " and ".join(_called(kind, names) for kind, names in kinds.items())
        clause = f"whether {quoted(material)}, of which {things} consist, can burn"
        if sum(map(len, kinds.values())) == 1 and "rafters" not in kinds:
            clause = clause.replace(" consist,", " consists,")
        yield Unknown(
            key=f"material {quoted(material)}",
            subject=clause,
            taken="combustible",
            question=f"Could you tell us {clause}?",
            heaters=near.heaters(*(name for names in kinds.values() for name in names)),
        )


def _called(kind: str, names: Sequence[str]) -> str:
    if kind == "floor":
        return "the floor"
    return f"the {_KINDS[kind][len(names) > 1]} {listed(map(quoted, names))}"


def _fans(scene: Scene, model: Model, mounts: Sequence[Mount]) -> Iterator[Unknown]:
    if not cautious_parts(scene, model):
        return
    under = {mount.name for covered in roofed(scene, model, mounts) for mount in covered.mounts}
    heaters = tuple(mount.name for mount in mounts if mount.name in under)
    if heaters:
        yield Unknown(
            key="fans",
            subject="whether a ceiling fan hangs, or will hang, near the heaters",
            taken="a fan of usual size, 52 in across, in the middle of each roof over a heater",
            question=FAN_QUESTION,
            heaters=heaters,
        )


def _fittings(scene: Scene) -> Iterator[Unknown]:
    if "fittings" in scene.site.confirmed:
        return
    drawn = {fitting.kind for fitting in scene.fitting}
    missing = [f"{kind}s" for kind in _FITTINGS if kind not in drawn]
    if missing:
        what = listed(missing, "or")
        yield Unknown(
            key="fittings",
            subject=f"whether there are any {what}, none being drawn",
            taken="none: where they would be cannot be guessed, so nothing is checked against them",
            question=f"Are there, or will there be, any {what} near the heaters, and where?",
        )


def _sides(scene: Scene, mounts: Sequence[Mount]) -> Iterator[Unknown]:
    share = scene.site.open_share
    if share is None:
        share = open_share(scene.floor.outline, sides_of(scene.wall))
    if "sides" in scene.site.confirmed or share < 0.01:
        return
    burns_gas = any(m.type.fuel == "gas" and not m.type.vented for m in mounts)
    yield Unknown(
        key="sides",
        subject="whether the open sides stay open, or will be closed by screens, panels or glass",
        taken="open, as they are drawn"
        + (", but closed for what becomes of a gas heater's fumes" if burns_gas else ""),
        question=SIDES_QUESTION,
    )


def _structure(scene: Scene, model: Model, mounts: Sequence[Mount]) -> Iterator[Unknown]:
    if "structure" in scene.site.confirmed:
        return
    carried = {rafters.roof for rafters in scene.rafters}
    roles = {solid.name: solid.role for solid in scene.solid}
    held: dict[tuple[str, str], dict[str, None]] = {}
    for mount in mounts:
        for arm in mount.arms:
            part = model.by_name.get(arm.surface)
            if (
                part is not None
                and part.kind in _SURFACES
                and part.owner not in carried
                and part.material.casefold().strip() not in _MASONRY
            ):
                called = roles.get(part.owner, _SURFACES[part.kind])
                surface = f"the surface of the {called} {quoted(part.owner)}"
                held.setdefault((part.owner, surface), {})[mount.name] = None
    for (owner, surface), heaters in held.items():
        yield Unknown(
            key=f"structure {quoted(owner)}",
            subject=f"what lies behind {surface} where the brackets go",
            taken="not shown to hold them: where the structure lies is not checked",
            question=f"Could you tell us what lies behind {surface}, and where its timbers or its "
            "steel run, so that the brackets can be fixed to them?",
            heaters=tuple(heaters),
        )


def _loads(mounts: Sequence[Mount]) -> Iterator[Unknown]:
    for name, heaters in _grouped((m.bracket.name, m.name) for m in mounts if not m.bracket.load):
        yield Unknown(
            key=f"load.bracket {quoted(name)}",
            subject=f"what mass a pair of the bracket {quoted(name)} may carry",
            taken="not shown to be enough: no load is checked against it",
            question=f"Could the maker of the bracket {quoted(name)} tell us its rated load?",
            heaters=heaters,
        )


def _supply(scene: Scene, mounts: Sequence[Mount]) -> Iterator[Unknown]:
    electric = [mount for mount in mounts if mount.type.fuel == "electric"]
    if scene.site.supply.voltage is not None or not electric:
        return
    own = listed([f"{volts:g} V" for volts in sorted({m.type.voltage for m in electric})])
    yield Unknown(
        key="supply.voltage",
        subject="the voltage that will feed the heaters",
        taken=f"that for which each heater is made, {own}",
        question="Could you tell us the voltage of the supply, and whether it has one phase or"
        " three?",
        heaters=tuple(mount.name for mount in electric),
    )


def _grouped(pairs: Iterable[tuple[str, str]]) -> Iterator[tuple[str, tuple[str, ...]]]:
    groups: dict[str, list[str]] = {}
    for key, value in pairs:
        groups.setdefault(key, []).append(value)
    return ((key, tuple(values)) for key, values in groups.items())
