"""What a heater may be mounted on."""

from __future__ import annotations

from heatcore.errors import InputError
from heatcore.scene.model import Heater, Scene
from heatcore.scene.plan import where
from heatcore.scene.rules import CARRIERS
from heatcore.scene.space import Beam, Rafters, Roof, Solid, Wall

Carrier = Roof | Rafters | Beam | Wall | Solid

_SPOKEN = {
    "roof": "a roof",
    "rafters": "rafters",
    "beam": "a beam",
    "wall": "a wall",
    "solid": "a solid",
}
# The roles of a solid that each mount is fixed to.
_ROLES = {"ceiling": ("ceiling", "beam"), "stem": ("ceiling", "beam"), "wall": ("wall",)}


def named_carrier(heater: Heater, scene: Scene) -> Carrier | None:
    """The thing that a heater says it is mounted on; None where it names none.

    Raises
    ------
    InputError
        If there is no such thing, or it carries no such mount.
    """
    name = heater.mounted_on
    if name is None:
        return None
    allowed = CARRIERS[heater.mount]
    wanted = " or ".join(_SPOKEN[kind] for kind in allowed)
    things: tuple[Carrier, ...] = (
        *scene.roof, *scene.rafters, *scene.beam, *scene.wall, *scene.solid,
    )  # fmt: skip
    for thing in things:
        if thing.name == name:
            kind = type(thing).__name__.lower()
            if kind in allowed:
                _refuse_role(heater, thing)
                return thing
            raise InputError(
                where(heater, "mounted_on"),
                f'"{name}" is {_SPOKEN[kind]}, and carries no {heater.mount} mount',
                f"name {wanted}, or change the mount",
            )
    raise InputError(
        where(heater, "mounted_on"),
        f'refers to "{name}", and there is no such thing to hang from',
        f"name {wanted}",
    )


def _refuse_role(heater: Heater, thing: Carrier) -> None:
    """Refuse a solid whose role is to carry something else, or nothing."""
    roles = _ROLES.get(heater.mount, ())
    if isinstance(thing, Solid) and thing.role not in roles:
        raise InputError(
            where(heater, "mounted_on"),
            f'"{thing.name}" has the role {thing.role}, and carries no {heater.mount} mount',
            f"give it the role {' or '.join(roles)}, or name another thing",
        )


def is_timber(carrier: Carrier | None) -> bool:
    """Whether a heater hangs from a beam of the scene, or of the client's own model."""
    return isinstance(carrier, Beam) or (isinstance(carrier, Solid) and carrier.role == "beam")
