"""Windows: their panes and sashes, closed, and all the room they take while they open."""

from __future__ import annotations

from math import pi

from shapely import Polygon, union_all
from shapely import box as rectangle

from heatcore.errors import InputError
from heatcore.geometry.frames import Frame
from heatcore.geometry.jambs import HANDS, Jamb, jamb
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.solids import Solid, part_of, prism, solid_of, to_mesh
from heatcore.geometry.sweeps import hinged_sweep
from heatcore.geometry.walls import Opening, WallLine, opening_of
from heatcore.scene.materials import is_combustible
from heatcore.scene.plan import where
from heatcore.scene.space import Window

_PANE = 0.024  # m; a usual double pane
_OPENING = pi / 2  # taken where it is not stated
_RAIL = 0.06  # m; width of a sash's frame


def window_parts(window: Window, line: WallLine) -> tuple[Part, ...]:
    """Return a window's glass, the sash of one that opens, and the volume that it sweeps.

    A fixed window has its pane in the middle of the wall's thickness. A sash stands in the opening,
    closed, flush with the face toward which it opens. It turns by the opening angle about an edge
    on that face: of a casement an upright one, at its hand's side or, where no hand is stated, at
    either; of an awning the upper one; of a hopper the lower one. A sliding sash is half as wide as
    the opening, and passes before the fixed half from one side to the other.

    A window of which it is not stated whether it opens is drawn as a fixed one, and sweeps what a
    casement and an awning sweep together: where a sliding sash passes lies within.

    The sash's frame is drawn as painted metal, but burns where the window's material does.

    Returns
    -------
    'NAME', the glass; of a window that opens also 'NAME sash', the frame round it; and of one that
    opens or may open the swept 'NAME swing', which is never smaller than what the sash sweeps and
    at most 1 mm larger.

    Raises
    ------
    InputError
        If the opening angle is less than nothing or more than 180 degrees.
    """
    if not 0.0 <= counted_opening(window) <= pi:
        raise InputError(
            where(window, "opening_angle"),
            "is not between 0 and 180 degrees",
            "give the angle the sash turns from closed",
        )
    hole = opening_of(window)
    if window.kind == "fixed":
        return (_pane(window, line, hole),)
    room = part_of(
        _swept(window, line, hole), window, Kind.WINDOW, f"{window.name} swing", swept=True
    )
    if window.kind is None:
        return _pane(window, line, hole), room
    frame, glass = _sash(window, jamb(line, hole, window.hand or "left", window.swing), hole)
    sash = part_of(
        frame,
        window,
        Kind.WINDOW,
        f"{window.name} sash",
        material="painted aluminium",
        burns=is_combustible(window.material),
    )
    return part_of(glass, window, Kind.WINDOW), sash, room


def counted_opening(window: Window) -> float:
    """How far a window's sash counts as turning from closed: where not stated, 90 degrees [rad]."""
    return _OPENING if window.opening_angle is None else window.opening_angle


def _pane(window: Window, line: WallLine, hole: Opening) -> Part:
    middle, half = -line.wall.thickness / 2, min(_PANE, line.wall.thickness) / 2
    depth = (middle - half, middle + half)
    pane = line.block((hole.near, hole.far), depth, hole.bottom, hole.top)
    return part_of(pane, window, Kind.WINDOW)


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
    """Return what a sash sweeps; where its kind is not stated, what it may sweep."""
    thickness = window.sash_thickness
    edge = jamb(line, hole, window.hand or "left", window.swing)
    match window.kind:
        case "sliding":
            plan = edge.plan(rectangle(0.0, -thickness, window.width, 0.0).exterior.coords)
            return prism(plan, hole.bottom, hole.top)
        case "casement":
            return _turned_sideways(window, line, hole)
        case "awning":
            return _turned_up_or_down(window, edge, edge.section(hole.top, -1.0))
        case "hopper":
            return _turned_up_or_down(window, edge, edge.section(hole.bottom, 1.0))
    upward = _turned_up_or_down(window, edge, edge.section(hole.top, -1.0))
    return _turned_sideways(window, line, hole) + upward


def _turned_sideways(window: Window, line: WallLine, hole: Opening) -> Solid:
    """Return what a sash sweeps about an upright edge, or about either where no hand is stated."""
    turned = hinged_sweep(window.width, window.sash_thickness, counted_opening(window))
    hands = HANDS if window.hand is None else (window.hand,)
    plans = [jamb(line, hole, hand, window.swing).plan(turned) for hand in hands]
    return prism(union_all(plans), hole.bottom, hole.top)


def _turned_up_or_down(window: Window, edge: Jamb, frame: Frame) -> Solid:
    """Return what a sash sweeps about its upper or lower edge, whose section's frame is given."""
    opened = hinged_sweep(window.height, window.sash_thickness, counted_opening(window))
    # The section's Z runs along the wall, over the opening or away from it.
    reach = window.width * float(frame.z[:2] @ edge.across)
    lying = to_mesh(prism(Polygon(opened), min(0.0, reach), max(0.0, reach)))
    return solid_of(Mesh(frame.to_world(lying.vertices), lying.triangles), where(window))
