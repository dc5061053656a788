"""What is switched together: by zone of the place, and by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import Point, Polygon

from heatcore.checks.electrical.circuits import Electrical
from heatcore.checks.electrical.loads import drawn_a
from heatcore.geometry.parts import Model
from heatcore.heat.planes.zones import zone_outline
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene


@dataclass(frozen=True)
class Switched:
    """Heaters that come on together.

    Attributes
    ----------
    zone : name of the zone that they hang over; '' where they hang over none
    step : the switching step with which they come on, counted from 1
    heaters : their names
    circuits : the circuits that feed them; a switch for several of them is a contactor's work
    input_w : at the outputs that are set, electricity and gas [W]
    current_a : at full output, on three phases of the most loaded line [A]; None for gas alone
    """

    zone: str
    step: int
    heaters: tuple[str, ...]
    circuits: tuple[str, ...]
    input_w: float
    current_a: float | None


def switching(
    scene: Scene, model: Model, mounts: Sequence[Mount], fed: Electrical
) -> tuple[Switched, ...]:
    """Group heaters by the zone that they hang over and by their switching step.

    A heater belongs to the first zone of the scene whose outline holds, or touches, the middle of
    its emitting face in plan.

    Parameters
    ----------
    scene, model : as described, and made solid
    mounts : the heaters, hung
    fed : what they draw

    Returns
    -------
    tuple of Switched
        In the order of the zones, what hangs over none last; of each, step by step.

    Raises
    ------
    InputError
        If a zone has no place.
    """
    areas = [(zone.name, Polygon(zone_outline(zone, scene, model))) for zone in scene.zone]
    order = [name for name, _ in areas] + [""]
    loads = {load.heater: load for load in fed.loads}
    groups: dict[tuple[int, int], list[str]] = {}
    for mount in mounts:
        middle = Point(mount.frame.origin[:2])
        zone = next((name for name, area in areas if area.intersects(middle)), "")
        groups.setdefault((order.index(zone), mount.heater.step), []).append(mount.name)
    switched = []
    for (zone_number, step), names in sorted(groups.items()):
        own = [loads[name] for name in names]
        switched.append(
            Switched(
                zone=order[zone_number],
                step=step,
                heaters=tuple(names),
                circuits=tuple(dict.fromkeys(x.circuit for x in own if x.fuel == "electric")),
                input_w=sum(load.input_w for load in own),
                current_a=drawn_a(own),
            )
        )
    return tuple(switched)
