"""What is painted on the floor and what the pictures say of it: honest, legible, never cut."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely

from heatcore.evaluate import Evaluation
from heatcore.geometry.rays import Obstacles
from heatcore.heat.people.body import BodyHeat, Cause, Comfort, Reason
from heatcore.heat.planes.maps import extremes
from heatcore.scene.model import Site, Target
from heatcore.units import UnitSystem
from heatcore.views import plan_views
from heatcore.views.comfort import comfort_sentence
from heatcore.views.floor import FloorPicture, band_text, floor_picture, parted, tones_for
from heatcore.views.framing import Framing
from heatcore.views.layout import overlaps
from heatcore.views.legend import Legend, Row
from heatcore.views.marks import mark
from heatcore.views.ramp import BANDS
from heatcore.views.view import FloorShows, Line, Tone, View
from tests.core.porch import Porch
from tests.core.test_views_stills import assert_readable, plates

IRRADIANCE, LANDING = FloorShows
PAINTED = ("warmth", "plan")


@pytest.fixture(scope="module")
def evaluation() -> Evaluation:
    return Porch(4).evaluation()


@pytest.fixture(scope="module")
def views(evaluation: Evaluation) -> dict[str, View]:
    return {view.name: view for view in plan_views(evaluation)}


def values_of(view: View, picture: FloorPicture) -> dict[str, list[np.ndarray]]:
    """Where each value of a picture of the floor is written in a view, in the frame."""
    framing = Framing.of(view)
    known = {f"{contour.irradiance_w_m2:g}" for contour in picture.contours}
    found: dict[str, list[np.ndarray]] = {}
    for label in view.labels:
        if label.text in known:
            found.setdefault(label.text, []).append(framing.project(label.at)[:2])
    return found


def filled(view: View, tone: Tone) -> list[Line]:
    return [line for line in view.lines if line.filled and line.tone is tone]


@pytest.mark.parametrize("name", PAINTED)
def test_a_view_of_the_floor_carries_the_other_colors_too(
    name: str, views: dict[str, View]
) -> None:
    view, other = views[name], views[name].other
    assert other is not None
    assert (view.floor, other.floor) == (IRRADIANCE, LANDING)
    assert other.camera is view.camera
    assert other.layers == view.layers
    assert_readable(other)
    said = {label.text for label in other.labels}
    assert {"in one beam", "at a beam's edge"} <= said
    assert not {text for text in said if "W/m" in text}


def test_the_other_way_round_where_the_landings_are_asked_for(evaluation: Evaluation) -> None:
    views = {view.name: view for view in plan_views(evaluation, floor=LANDING)}
    for name, view in views.items():
        assert view.floor is (LANDING if name in PAINTED else None)
        assert (view.other is None) == (name not in PAINTED)


@pytest.mark.parametrize("name", PAINTED)
def test_the_legend_says_the_bands_that_are_painted(
    name: str, evaluation: Evaluation, views: dict[str, View]
) -> None:
    view, picture = views[name], floor_picture(evaluation, IRRADIANCE)
    said = [label.text for label in view.labels]
    assert said.count("floor in W/m²") == 1
    edges = [0.0, *(c.irradiance_w_m2 for c in picture.contours)]
    assert [p.text for p in picture.patches] == [
        f"under {edges[1]:g}",
        *(f"{a:g} to {b:g}" for a, b in pairwise(edges[1:])),
        f"over {edges[-1]:g}, at most {np.ceil(evaluation.floor_map.total.max()):.0f}",
    ]
    framing = Framing.of(view)
    for patch in picture.patches:
        assert said.count(patch.text) == 1
        # A field of the band's own color stands before its words, in the same row.
        label = next(label for label in view.labels if label.text == patch.text)
        words = framing.project(label.at)[:2]
        fields = [framing.project(line.points)[:, :2] for line in filled(view, patch.tone)]
        beside = [f for f in fields if abs(f[:, 1].mean() - words[1]) < 0.01]
        assert beside
        assert max(field[:, 0].max() for field in beside) < words[0]


def test_each_color_lies_where_the_irradiance_is_what_it_says(evaluation: Evaluation) -> None:
    field, picture = evaluation.floor_map, floor_picture(evaluation, IRRADIANCE)
    rows, columns = np.nonzero(field.inside)
    points = np.column_stack([field.x[columns], field.y[rows]])
    values = field.total[rows, columns]
    edges = [0.0, *(c.irradiance_w_m2 for c in picture.contours), np.inf]
    covered = np.zeros(len(points), dtype=int)
    for patch, low, high in zip(picture.patches, edges[:-1], edges[1:], strict=True):
        area = shapely.union_all([shapely.Polygon(a[0], a[1:]) for a in patch.areas])
        inside = shapely.contains_xy(area, points[:, 0], points[:, 1])
        covered += inside
        assert (values[inside] >= low - 1e-6).all()
        assert (values[inside] <= high + 1e-6).all()
    assert covered.max() == 1
    assert (covered == 1).mean() > 0.95  # the rest lies on an edge


def test_what_is_warmed_glows_and_what_is_not_is_quiet(evaluation: Evaluation) -> None:
    picture = floor_picture(evaluation, IRRADIANCE)
    threshold = evaluation.scene.site.target.irradiance
    places = [BANDS.index(patch.tone) for patch in picture.patches]
    assert places == sorted(set(places))
    (bold,) = [c for c in picture.contours if c.threshold]
    assert bold.irradiance_w_m2 == threshold
    for contour in picture.contours:
        glows = BANDS.index(contour.tone) >= 2
        assert glows == (contour.irradiance_w_m2 >= threshold)


def test_where_nothing_is_warmed_the_legend_says_so() -> None:
    far = Target(irradiance=1000.0)
    found = Porch(2).evaluation()
    found = replace(found, scene=replace(found.scene, site=Site(name="the porch", target=far)))
    picture = floor_picture(found, IRRADIANCE)
    assert picture.patches
    assert not [c for c in picture.contours if c.threshold]
    for view in plan_views(found):
        said = {label.text for label in view.labels}
        assert ("warmed: from 1000, nowhere" in said) == (view.name in PAINTED)


def test_values_leave_room_for_colors_on_either_side_of_the_threshold() -> None:
    assert parted([50, 100, 150, 200, 250], 100.0, 293.0) == [50, 100, 150, 200, 250]
    assert parted([10, 20, 50, 100, 200], 100.0, 234.0) == [50, 100, 200]
    assert parted([100, 200, 300, 400, 500, 600], 100.0, 700.0) == [100, 200, 300, 400]
    assert parted([10, 20, 50, 100], 100.0, 80.0) == [10, 20, 50]
    assert parted([], 100.0, 0.0) == []
    assert tones_for([50, 100, 200], 100.0) == BANDS[:4]
    assert tones_for([100.0], 100.0) == (BANDS[0], BANDS[2])
    assert tones_for([10, 20, 50], 100.0)[0] is BANDS[0]


def test_a_band_says_no_more_than_there_is() -> None:
    assert band_text(0.0, 50.0, 300.0) == "under 50"
    assert band_text(50.0, 100.0, 300.0) == "50 to 100"
    assert band_text(300.0, np.inf, 411.2) == "over 300, at most 412"


@pytest.mark.parametrize("count", [1, 2, 4, 7, 12])
def test_numbers_stand_on_their_lines_where_the_camera_sees_the_floor(count: int) -> None:
    found = Porch(count, failing=False).evaluation()
    picture = floor_picture(found, IRRADIANCE)
    written = 0
    for view in plan_views(found):
        if view.name not in PAINTED:
            continue
        framing, boxes = Framing.of(view), plates(view)
        assert int(overlaps(boxes, boxes).sum()) == len(boxes)
        for text, places in values_of(view, picture).items():
            assert len(places) <= 2
            contour = next(c for c in picture.contours if f"{c.irradiance_w_m2:g}" == text)
            drawn = [lifted(line) for line in contour.lines]
            lines = shapely.MultiLineString([framing.project(line)[:, :2] for line in drawn])
            for at in places:
                written += 1
                assert shapely.distance(lines, shapely.Point(at)) < 0.004
                nearest = min(
                    np.concatenate(drawn),
                    key=lambda point: float(np.linalg.norm(framing.project(point)[:2] - at)),
                )
                assert sees(found, view, framing, at, nearest)
    assert written >= min(count, 2)


def lifted(line: np.ndarray) -> np.ndarray:
    """Points (k, 3) close together along a line on the floor, a hair over it."""
    close = shapely.get_coordinates(shapely.segmentize(shapely.LineString(line), 0.02))
    return np.column_stack([close, np.full(len(close), 0.02)])


def sees(found: Evaluation, view: View, framing: Framing, at: np.ndarray, spot: np.ndarray) -> bool:
    kept = [p for p in found.model.parts if not p.swept and p.name not in view.hidden]
    start = framing.lift(at, framing.clip[0])
    return bool(Obstacles((p.name, p.mesh) for p in kept).sees(start[None], spot[None])[0])


def test_the_threshold_has_its_number_before_the_others(
    evaluation: Evaluation, views: dict[str, View]
) -> None:
    picture = floor_picture(evaluation, IRRADIANCE)
    for name in PAINTED:
        assert values_of(views[name], picture).get("100")


def test_every_place_inside_the_plan_has_the_mark_of_its_verdict(
    evaluation: Evaluation, views: dict[str, View]
) -> None:
    plan = views["plan"]
    framing = Framing.of(plan)
    tones = {
        Comfort.WARM: Tone.WARM,
        Comfort.BORDERLINE: Tone.EDGE,
        Comfort.COLD: Tone.COLD,
    }
    for body in evaluation.people:
        at = framing.project(body.place.point)[:2]
        marks = [framing.project(m.points)[:, :2] for m in filled(plan, tones[body.comfort])]
        corners = len(mark(body.comfort, at, 0.01))
        shaped = [ring for ring in marks if len(ring) == corners]
        near = [ring for ring in shaped if np.linalg.norm(ring.mean(axis=0) - at) < 0.04]
        assert len(near) == 1, body.place.name


def test_marks_differ_by_shape_and_their_rims_hold_them() -> None:
    shapes = [shapely.Polygon(mark(comfort, (0.0, 0.0), 1.0)) for comfort in Comfort]
    corners = [len(mark(comfort, (0.0, 0.0), 1.0)) for comfort in Comfort]
    assert len(set(corners)) == len(corners)
    for comfort, shape in zip(Comfort, shapes, strict=True):
        rim = shapely.Polygon(mark(comfort, (0.0, 0.0), 1.0, 0.3))
        assert rim.contains(shape)
        # As wide all round as it is meant to be; corners run out.
        edge = shapely.LinearRing(rim.exterior)
        assert shape.exterior.distance(edge) == pytest.approx(0.3, abs=0.03)


def test_a_cold_place_by_itself_is_told_with_what_it_gains() -> None:
    found = Porch(4).evaluation()
    cold = [body for body in found.people if body.comfort is Comfort.COLD]
    for view in plan_views(found):
        if view.name in PAINTED:
            said = {label.text for label in view.labels if label.tone is Tone.COLD}
            assert said <= {f"{b.place.name} +0.4 K" for b in cold} | {b.place.name for b in cold}
            assert said


def test_the_legend_hides_no_heater() -> None:
    for count in (1, 3, 6):
        found = Porch(count).evaluation()
        view = plan_views(found)[1]
        framing = Framing.of(view)
        (field,) = [line for line in view.lines if line.filled and line.tone is Tone.QUIET]
        plate = framing.project(field.points)[:, :2]
        low, high = plate.min(axis=0), plate.max(axis=0)
        for mount in found.mounts:
            at = framing.project(mount.body)[:, :2]
            assert not ((at > low) & (at < high)).all(axis=1).any()


def test_a_legend_takes_the_same_rows_in_any_shape() -> None:
    rows = [Row("floor", title=True), Row("one", Tone.BAND_1), Row("another", Tone.BAND_2)]
    more = [Row("place", Tone.WARM, Comfort.WARM)]
    for legend in (
        Legend.columns([rows, more]),
        Legend.columns([[*rows, *more]]),
        Legend.strip([rows, more]),
    ):
        assert list(legend.rows) == [*rows, *more]
        boxes = np.array(
            [
                (x, y - 0.012, x + row.width, y + 0.012)
                for row, (x, y) in zip(legend.rows, legend.starts, strict=True)
            ]
        )
        assert int(overlaps(boxes, boxes).sum()) == len(boxes)
        assert (boxes[:, [0, 3]] * [1, -1] > 0.0).all()
        assert (boxes[:, 2] < legend.size[0]).all()
        assert (-boxes[:, 1] < legend.size[1]).all()


def people(found: Evaluation, *verdicts: tuple[Comfort, float, Reason | None]) -> Evaluation:
    """The porch with as many people as there are verdicts: comfort, gain [K] and reason."""
    bodies: list[BodyHeat] = []
    for body, (comfort, gain, reason) in zip(found.people, verdicts, strict=False):
        bodies.append(replace(body, comfort=comfort, utci=body.utci_without + gain, reason=reason))
    return replace(found, people=tuple(bodies))


OUTSIDE = Reason(Cause.OUTSIDE, "Outside every beam.")
SHADED = Reason(Cause.SHADED, "Shaded.", "H1", "parasol")
WARM, BORDERLINE, COLD = Comfort


@pytest.mark.parametrize(
    ("verdicts", "said"),
    [
        (
            [(WARM, 4.0, None), (WARM, 7.04, None), (COLD, 0.4, OUTSIDE)],
            "Two of three seats are warm, feeling 4 to 7 K warmer; "
            "chair 3 is not: outside every beam.",
        ),
        (
            [(WARM, 4.0, None), (COLD, 1.0, OUTSIDE), (COLD, 1.0, SHADED)],
            "One of three seats is warm, feeling 4 K warmer; "
            "two are not: one outside every beam, one shaded by the parasol.",
        ),
        ([(WARM, 4.0, None)] * 8, "All eight seats are warm, feeling 4 K warmer."),
        ([(COLD, 0.0, OUTSIDE)] * 2, "None of two seats is warm: outside every beam."),
        ([(WARM, 0.0, None)] * 3, "All three seats are warm."),
        (
            [(WARM, 4.0, None), (BORDERLINE, 2.8, SHADED)],
            "One of two seats is warm, feeling 4 K warmer; chair 2 is borderline.",
        ),
        ([(COLD, 0.1, SHADED)], "Chair 1 is not warm: shaded by the parasol."),
        ([(WARM, 5.0, None)], "Chair 1 is warm, feeling 5 K warmer."),
    ],
)
def test_the_caption_says_who_is_warm_and_who_is_not(
    verdicts: list[tuple[Comfort, float, Reason | None]], said: str, evaluation: Evaluation
) -> None:
    assert comfort_sentence(people(evaluation, *verdicts)) == said


def test_the_caption_speaks_the_sites_units_and_of_the_floor_where_nobody_is() -> None:
    imperial = Porch(4, units=UnitSystem.IMPERIAL).evaluation()
    warm = people(imperial, (WARM, 5.0, None), (WARM, 10.0, None))
    assert comfort_sentence(warm) == "All two seats are warm, feeling 9 to 18 °F warmer."
    empty = replace(imperial, people=())
    share = imperial.warmed.warmed
    assert comfort_sentence(empty) == f"{share:.0%} of the floor gets 100 W/m² or more."


def test_without_heaters_nothing_is_painted() -> None:
    found = Porch(0).evaluation()
    for shows in FloorShows:
        assert floor_picture(found, shows).patches == ()
    assert extremes(found.floor_map).highest == 0.0
