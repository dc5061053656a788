"""Windows: their panes and sashes, closed, and all the room they take while they open."""

from __future__ import annotations

from math import pi

from shapely import Polygon, union_all
from shapely import box as rectangle

from heatcore.errors import InputError
from heatcore.geometry.jambs import HANDS, Jamb, jamb
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.solids import Solid, part_of, prism, solid_of, to_mesh
from heatcore.geometry.sweeps import hinged_sweep
from heatcore.geometry.walls import Opening, WallLine, opening_of
from heatcore.scene.materials import is_combustible
from heatcore.scene.plan import where
from heatcore.scene.space import Window

_PANE = 0.024  # m; a usual double pane
_RAIL = 0.06  # m; width of a sash's frame


def window_parts(window: Window, line: WallLine) -> tuple[Part, ...]:
    """Return a window's glass, the sash of one that opens, and the volume that it sweeps.

    A fixed window has its pane in the middle of the wall's thickness. A sash stands in the opening,
    closed, flush with the face toward which it opens. It turns by the opening angle about an edge
    on that face: of a casement an upright one, at its hand's side or, where no hand is stated, at
    either; of an awning the upper one; of a hopper the lower one. A sliding sash is half as wide as
    the opening, and passes before the fixed half from one side to the other.

    The sash's frame is drawn as painted metal, but burns where the window's material does.

    Returns
    -------
    'NAME', the glass; of a window that opens also 'NAME sash', the frame round it, and the swept
    'NAME swing', which is never smaller than what the sash sweeps and at most 1 mm larger.

    Raises
    ------
    InputError
        If the opening angle is less than nothing or more than 180 degrees.
    """
    if not 0.0 <= window.opening_angle <= pi:
        raise InputError(
            where(window, "opening_angle"),
            "is not between 0 and 180 degrees",
            "give the angle the sash turns from closed",
        )
    hole = opening_of(window)
    if window.kind == "fixed":
        middle, half = -line.wall.thickness / 2, min(_PANE, line.wall.thickness) / 2
        depth = (middle - half, middle + half)
        pane = line.block((hole.near, hole.far), depth, hole.bottom, hole.top)
        return (part_of(pane, window, Kind.WINDOW),)
    frame, glass = _sash(window, jamb(line, hole, window.hand or "left", window.swing), hole)
    sash = part_of(
        frame,
        window,
        Kind.WINDOW,
        f"{window.name} sash",
        material="painted aluminium",
        burns=is_combustible(window.material),
    )
    room = _swept(window, line, hole)
    return (
        part_of(glass, window, Kind.WINDOW),
        sash,
        part_of(room, window, Kind.WINDOW, f"{window.name} swing", swept=True),
    )


def _sash(window: Window, edge: Jamb, hole: Opening) -> tuple[Solid, Solid]:
    """Return the frame of a closed sash, and all the glass."""
    thickness, whole = window.sash_thickness, window.width
    width = whole / 2 if window.kind == "sliding" else whole
    rail = min(_RAIL, width / 4, window.height / 4)
    pane = min(_PANE, thickness / 2)
    front = (pane - thickness) / 2  # the glass stands in the middle of the sash

    def slab(x: tuple[float, float], y: tuple[float, float], inset: float) -> Solid:
        plan = edge.plan(rectangle(x[0], y[0], x[1], y[1]).exterior.coords)
        return prism(plan, hole.bottom + inset, hole.top - inset)

    inner = (rail, width - rail)
    frame = slab((0.0, width), (-thickness, 0.0), 0.0)
    frame -= slab(inner, (-2 * thickness, thickness), rail)
    glass = slab(inner, (front - pane, front), rail)
    if window.kind == "sliding":
        glass += slab((width, whole), (-thickness - pane, -thickness), 0.0)
    return frame, glass


def _swept(window: Window, line: WallLine, hole: Opening) -> Solid:
    """Return what a sash sweeps."""
    thickness = window.sash_thickness
    edge = jamb(line, hole, window.hand or "left", window.swing)
    match window.kind:
        case "sliding":
            plan = edge.plan(rectangle(0.0, -thickness, window.width, 0.0).exterior.coords)
            return prism(plan, hole.bottom, hole.top)
        case "casement":
            turned = hinged_sweep(window.width, thickness, window.opening_angle)
            hands = HANDS if window.hand is None else (window.hand,)
            plans = [jamb(line, hole, hand, window.swing).plan(turned) for hand in hands]
            return prism(union_all(plans), hole.bottom, hole.top)
        case "awning":
            frame = edge.section(hole.top, -1.0)
        case _:
            frame = edge.section(hole.bottom, 1.0)
    section = Polygon(hinged_sweep(window.height, thickness, window.opening_angle))
    # The section's Z runs along the wall, over the opening or away from it.
    reach = window.width * float(frame.z[:2] @ edge.across)
    lying = to_mesh(prism(section, min(0.0, reach), max(0.0, reach)))
    return solid_of(Mesh(frame.to_world(lying.vertices), lying.triangles), where(window))
