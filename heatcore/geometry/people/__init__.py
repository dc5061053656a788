"""People: where they sit and stand, and what they look like."""

from __future__ import annotations

from heatcore.geometry.frames import locked
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.geometry.people.figure import DRESS, figure
from heatcore.geometry.shapes import placed
from heatcore.scene.model import Person, Seat

__all__ = ["person_parts", "seat_place", "standing_place"]


def seat_place(seat: Seat, ground: float = 0.0) -> Place:
    """The place of a seat that stands by itself, on ground of a height [m]."""
    return Place(
        name=seat.name,
        owner=seat.name,
        point=locked([*seat.at, ground]),
        facing=seat.facing,
        posture=seat.posture,
        seat_height=seat.height,
        occupied=seat.occupied,
        can_move_away=seat.can_move_away,
    )


def standing_place(person: Person, ground: float = 0.0) -> Place:
    """The place of somebody who stands, on ground of a height [m]."""
    return Place(
        name=person.name,
        owner=person.name,
        point=locked([*person.at, ground]),
        facing=person.facing,
        posture="standing",
        seat_height=0.0,
        occupied=True,
        stature=person.stature,
        can_move_away=person.can_move_away,
    )


def person_parts(place: Place, variant: int) -> tuple[Part, ...]:
    """A calm, clothed figure at a place, in closed solids of skin, hair, sweater, trousers, shoes.

    Seated, the figure's underside lies on the seat and its soles on the ground; perched, on a
    footrest 0.45 m below the seat; lounging, the legs lie on the seat, stretched out. At a table
    the forearms rest on its top.

    Parameters
    ----------
    place : where, and in which posture
    variant : any whole number; picks the clothes and one of several ways to sit or stand
    """
    shapes = figure(
        str(place.posture),
        # To a tenth of a millimetre, so that equal seats share a figure.
        round(place.seat_height, 4),
        round(place.table_height, 4),
        variant % len(DRESS),
        place.stature,
    )
    return tuple(
        Part(
            name=f"{place.name} person {shape.label}",
            owner=place.name,
            kind=Kind.PERSON,
            mesh=placed(shape.mesh, place.point, place.facing),
            material=shape.material,
            combustible=False,
        )
        for shape in shapes
    )
