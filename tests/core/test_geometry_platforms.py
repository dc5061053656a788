"""Platforms, and people and furniture that stand on them."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.geometry.parts import Kind
from heatcore.geometry.solids import solid_of
from heatcore.scene.model import Furniture, Person, Scene, Seat, Site
from heatcore.scene.space import Door, Floor, Platform, Wall

STAGE = Platform(name="stage", outline=((0, 0), (3, 0), (3, 2), (0, 2)), height=0.4)
STEP = Platform(name="step", outline=((0, 0), (3.5, 0), (3.5, 2), (0, 2)), height=0.2)
FLOOR = Floor(outline=((0, 0), (6, 0), (6, 4), (0, 4)))
SCENE = Scene(
    site=Site(name="test"),
    floor=FLOOR,
    platform=(STAGE,),
    furniture=(
        Furniture(name="table", kind="table", at=(1.5, 1.0), chairs=2),
        Furniture(name="sofa", kind="sofa", at=(4.5, 3.0), occupied=True),
    ),
    seat=(Seat(name="high seat", at=(0.5, 0.5)), Seat(name="low seat", at=(5.0, 1.0))),
    person=(Person(name="singer", at=(2.5, 0.4)), Person(name="guest", at=(5.5, 3.5))),
)
UP = np.array([0.0, 0.0, 0.4])


def without_platforms():
    return build(replace(SCENE, platform=()))


def test_a_platform_is_a_prism_on_the_floor():
    stage = build(SCENE).by_name["stage"]
    assert (stage.kind, stage.owner, stage.swept) == (Kind.PLATFORM, "stage", False)
    assert stage.mesh.bounds == pytest.approx(np.array([[0, 0, 0], [3, 2, 0.4]]))
    assert solid_of(stage.mesh, "stage").volume() == pytest.approx(3 * 2 * 0.4)
    assert stage.combustible  # not stated
    (stone,) = build(replace(SCENE, platform=(replace(STAGE, material="stone"),))).of(Kind.PLATFORM)
    assert not stone.combustible
    assert stone.material == "stone"


def test_who_and_what_is_on_a_platform_stands_on_it():
    raised, level = build(SCENE), without_platforms()
    places = {place.name: place for place in raised.places}
    for plain in level.places:
        place = places[plain.name]
        up = UP if plain.name.startswith(("table", "high", "singer")) else 0.0
        assert place.point == pytest.approx(plain.point + up)
        assert place.points == pytest.approx(plain.points + up)
        assert place.heights == plain.heights
    assert places["singer"].point == pytest.approx([2.5, 0.4, 0.4])
    for plain_part in level.parts:
        part = raised.by_name[plain_part.name]
        up = UP if plain_part.name.startswith(("table", "high", "singer")) else 0.0
        assert part.mesh.vertices == pytest.approx(plain_part.mesh.vertices + up, abs=1e-12)


def test_the_highest_of_several_platforms_counts_and_its_edge_is_on_it():
    scene = replace(SCENE, platform=(STAGE, STEP), furniture=(), seat=())

    def ground(x):
        person = Person(name="singer", at=(x, 1.0))
        (place,) = build(replace(scene, person=(person,))).places
        return float(place.point[2])

    assert [ground(x) for x in (1.0, 3.0, 3.2, 3.5, 3.6)] == pytest.approx(
        [0.4, 0.4, 0.2, 0.2, 0.0]
    )


def test_furniture_from_a_mesh_file_stands_on_it_too(tmp_path):
    trimesh.creation.box((0.5, 0.5, 0.6)).export(tmp_path / "crate.stl")
    crate = Furniture(name="crate", kind="planter", at=(1.0, 1.0), mesh="crate.stl")
    model = build(replace(SCENE, furniture=(crate,), folder=tmp_path))
    assert model.by_name["crate"].mesh.bounds[:, 2] == pytest.approx([0.4, 1.0])
    # Saved again with another size, it is read again.
    trimesh.creation.box((0.5, 0.5, 0.75)).export(tmp_path / "crate.stl")
    (tmp_path / "crate.stl").touch()
    again = build(replace(SCENE, furniture=(crate,), folder=tmp_path))
    assert again.by_name["crate"].mesh.bounds[:, 2] == pytest.approx([0.4, 1.15])


def test_a_platform_before_a_door_leaves_its_sweep_as_it_is():
    wall = Wall(name="wall", from_=(0, 0), to=(0, 2), height=2.5, thickness=0.2)
    door = Door(name="door", wall="wall", at=0.5, threshold=0.05)
    scene = replace(SCENE, wall=(wall,), door=(door,))
    with_stage, without = build(scene), build(replace(scene, platform=()))
    assert with_stage.by_name["door swing"] is without.by_name["door swing"]


def test_an_outline_that_is_none_is_told_of_once():
    crossed = replace(STAGE, outline=((0, 0), (2, 2), (2, 0), (0, 2)))
    with pytest.raises(InputError) as error:
        build(replace(SCENE, platform=(crossed,)))
    assert [m.where for m in error.value.mistakes] == ['platform "stage".outline']
