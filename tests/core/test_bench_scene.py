"""What `make bench` times is what it says it is."""

import json

import numpy as np
import pytest

from tests.bench.patio import LENGTH, LEVELS, WIDTH, patio
from tests.bench.reference import Error
from tests.bench.report import Report, Row
from tests.bench.shapes import box, ten_times

PATIO = patio()


def area(mesh) -> float:
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def test_the_patio_is_large_seeded_and_within_its_points():
    assert PATIO.triangles >= 300_000
    assert len(PATIO.points) == 18_000 == len(LEVELS) * PATIO.grid[0] * PATIO.grid[1]
    assert np.all(np.abs(PATIO.points[:, :2]) < [LENGTH / 2, WIDTH / 2])
    again = patio()
    for (name, mesh), (other, same) in zip(PATIO.solids, again.solids, strict=True):
        assert name == other
        assert np.array_equal(mesh.vertices, same.vertices)


def test_ten_times_the_triangles_are_the_same_surfaces():
    boxes = [box((0, 0, 0), (1 + i, 1, 2)) for i in range(14)]
    finer = ten_times(boxes)
    assert sum(len(m.triangles) for m in finer) == pytest.approx(10 * 14 * 12, rel=0.05)
    for mesh, fine in zip(boxes, finer, strict=True):
        assert area(fine) == pytest.approx(area(mesh), rel=1e-12)
        assert np.array_equal(fine.bounds, mesh.bounds)


def test_errors_are_shares_of_the_highest_value():
    off = Error.of(np.array([1.0, 4.0, 10.0]), np.array([1.0, 5.0, 10.0]))
    assert (off.rms, off.most) == (pytest.approx(0.1 / np.sqrt(3)), pytest.approx(0.1))


def test_a_missed_target_is_printed_as_missed():
    fast, slow = Row("a", 1.0, 50.0, 50.0, 40.0), Row("b", 2.0, None, 30.0, 12.0, " ms", True)
    plain = Row("c", 2.0, 1.0, 2.0, None)
    report = Report([fast, slow, plain])
    assert [row.met for row in report.rows] == [True, False, None]
    table = report.table()
    assert "MISSED" in table
    assert "1 of 2 targets met" in table
    assert [row["met"] for row in json.loads(report.as_json())["rows"]] == [True, False, None]
