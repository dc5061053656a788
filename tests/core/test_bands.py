"""The floor in bands, against areas worked out by hand."""

import numpy as np
import pytest
import shapely

from heatcore.geometry.parts import Mesh
from heatcore.heat.beams.bands import bands
from heatcore.heat.beams.beam import Beam, Landing
from heatcore.heat.planes.contours import Rings

NOTHING = Mesh(np.empty((0, 3)), np.empty((0, 3), dtype=np.int64))


def square(x0: float, x1: float) -> Rings:
    return (np.array([[x0, 0.0], [x1, 0.0], [x1, 2.0], [x0, 2.0]]),)


def lands(name: str, x0: float, x1: float) -> Beam:
    landing = Landing(name, 0.0, (square(x0, x1),), (square(x0 - 0.5, x1 + 0.5),))
    return Beam(name, NOTHING, (1.0, 1.0), (1.5, 1.5), (landing,), reach=4.0)


def area(areas: tuple[Rings, ...]) -> float:
    return sum(shapely.Polygon(rings[0], rings[1:]).area for rings in areas)


def test_each_place_lies_in_one_band() -> None:
    found = bands([lands("H1", 0.0, 3.0), lands("H2", 2.0, 5.0)])
    assert area(found.doubled) == pytest.approx(1.0 * 2.0)
    assert area(found.single) == pytest.approx(4.0 * 2.0)
    assert area(found.edge) == pytest.approx(2 * 0.5 * 2.0)


def test_a_hole_stays_a_hole_and_turns_the_other_way() -> None:
    outer = square(0.0, 4.0)[0]
    hole = np.array([[1.0, 0.5], [1.0, 1.5], [2.0, 1.5], [2.0, 0.5]])
    landing = Landing("H1", 0.0, ((outer, hole),), ((outer,),))
    found = bands([Beam("H1", NOTHING, (1.0, 1.0), (1.5, 1.5), (landing,), reach=4.0)])
    ((ring, inner),) = found.single
    assert shapely.LinearRing(ring).is_ccw
    assert not shapely.LinearRing(inner).is_ccw
    assert area(found.edge) == pytest.approx(1.0)


def test_no_heater_warms_nothing() -> None:
    found = bands([])
    assert [found.edge, found.single, found.doubled] == [(), (), ()]
