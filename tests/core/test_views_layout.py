"""Labels: how large they are, where they go, and that they never collide."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.views.dimensioning import gathered, named, spread
from heatcore.views.layout import MARGIN, Layout, Note, around, note_size, overlaps
from heatcore.views.lettering import WIDTHS, text_size

WIDE = 16 / 9


def collisions(layout: Layout) -> int:
    boxes = np.array([placed.box for placed in layout.placed])
    return int(overlaps(boxes, boxes).sum()) - len(boxes)


def inside(layout: Layout) -> bool:
    boxes = np.array([placed.box for placed in layout.placed])
    edge = np.array([layout.aspect / 2, 0.5]) - MARGIN + 1e-6
    return bool((np.abs(boxes.reshape(-1, 2)) <= edge).all())


def test_the_widest_line_and_the_number_of_lines_make_a_texts_size() -> None:
    one, two = text_size("W"), text_size("W\nWW")
    assert two[0] == pytest.approx(2 * one[0])
    assert two[1] > 2 * one[1]


def test_a_character_that_nobody_measured_counts_as_wide() -> None:
    assert text_size("漢")[0] > WIDTHS["m"]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(-1.2, 1.2),
            st.floats(-0.7, 0.7),
            st.text("abcW'9 \n", min_size=1, max_size=40),
            st.booleans(),
        ),
        max_size=40,
    )
)
def test_labels_never_collide_and_are_never_cut(
    wishes: list[tuple[float, float, str, bool]],
) -> None:
    layout = Layout(WIDE)
    layout.keep_clear([(-0.2, -0.1, 0.2, 0.1)])
    notes = []
    for x, y, text, tied in wishes:
        anchor = np.array([x, y])
        turn = np.pi / 2 if len(text) % 2 else 0.0
        spots = around(anchor, note_size(text, turn=turn))
        notes.append(Note(text, spots, anchor=anchor if tied else None, turn=turn))
    layout.place_all(notes)
    if layout.placed:
        assert collisions(layout) == 0
        assert inside(layout)
        boxes = np.array([placed.box for placed in layout.placed])
        assert not overlaps(boxes, np.array([(-0.2, -0.1, 0.2, 0.1)])).any()


@pytest.mark.parametrize("count", [1, 5, 30, 200])
def test_what_finds_no_room_is_counted(count: int) -> None:
    layout = Layout(WIDE)
    spot = np.array([[0.0, 0.0], [0.0, 0.2]])
    layout.place_all([Note("heater", spot) for _ in range(count)])
    said = [p.note.text for p in layout.placed if p.note.text != "heater"]
    shown = len(layout.placed) - len(said)
    assert shown == min(count, 2)
    assert said == ([f"{count - 2} more: see the schedule"] if count > 2 else [])


def test_a_full_picture_gives_up_a_label_to_say_what_is_missing() -> None:
    layout = Layout(WIDE)
    large = Note("x", layout.anywhere(note_size("x", 0.08)), height=0.08)
    layout.place_all([large] * 300)
    said = layout.placed[-1].note.text
    assert said == f"{300 - (len(layout.placed) - 1)} more: see the schedule"
    assert collisions(layout) == 0


def test_a_leader_runs_through_no_other_label() -> None:
    layout = Layout(WIDE)
    assert layout.place(Note("between", [[0.0, 0.0]]))
    tied = Note("above", [[0.0, 0.15], [0.3, 0.15]], anchor=np.array([0.0, -0.15]))
    assert layout.place(tied)
    assert layout.placed[-1].at == pytest.approx([0.3, 0.15])


def test_a_label_rather_covers_nothing_that_should_be_seen() -> None:
    layout = Layout(WIDE)
    layout.rather_not([(-0.2, -0.1, 0.2, 0.1)])
    assert layout.place(Note("heater", [[0.0, 0.0], [0.0, 0.3]]))
    assert layout.placed[-1].at == pytest.approx([0.0, 0.3])
    assert layout.place(Note("heater", [[0.0, 0.0]]))  # nowhere else to go


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.floats(-0.5, 0.5), st.floats(0.02, 0.12)), min_size=1, max_size=9))
def test_figures_on_a_rule_keep_their_order_and_stand_apart(
    pairs: list[tuple[float, float]],
) -> None:
    wanted, sizes = np.array(sorted(pairs)).T
    places = spread(wanted, sizes, (-0.75, 0.75))
    assert places is not None
    ends = np.column_stack([places - sizes / 2, places + sizes / 2])
    assert (ends[1:, 0] >= ends[:-1, 1]).all()
    assert ends.min() >= -0.75 - 1e-9
    assert ends.max() <= 0.75 + 1e-9


def test_figures_that_have_room_stay_where_they_are() -> None:
    wanted = np.array([-0.3, 0.0, 0.4])
    assert spread(wanted, np.full(3, 0.1), (-0.5, 0.5)) == pytest.approx(wanted)


def test_two_figures_for_one_place_give_way_alike() -> None:
    # Least squares: both move by the same, to either side.
    places = spread(np.zeros(2), np.full(2, 0.1), (-0.5, 0.5))
    assert places is not None
    assert places[0] == pytest.approx(-places[1])


def test_figures_that_do_not_fit_are_refused() -> None:
    assert spread(np.zeros(11), np.full(11, 0.1), (-0.5, 0.5)) is None


def test_names_share_a_station_in_the_scenes_order() -> None:
    found = gathered({"H2": 1.0004, "H1": 1.0, "H3": 2.0}, 0.005)
    assert [(round(value), names) for value, names in found] == [(1, ["H2", "H1"]), (2, ["H3"])]
    assert named(["H1", "H2"]) == "H1, H2"
    assert named(["H1", "H2", "H3", "H4"]) == "4 heaters"
    assert named(["the long heater over the table", "another"]) == "2 heaters"
