"""A whole bar: segments, angles, supports, ends; the same wherever it lies and however its triangles are stored."""

from __future__ import annotations

import numpy as np
import pytest

from solver.scan.bar.ball import Ball
from solver.scan.errors import BadDirection, NoBarFound, OutNotShown
from solver.scan.measure import BarScan, measure_bar
from solver.scan.section.figure import Figure, Measured, Reason, Unknown
from solver.scan.section.shapes import Kind
from solver.scan.surface.mesh import Array, Mesh, mesh_from_triangles
from tests.solver.scan import bars
from tests.solver.scan import meshes as m

EDGE = 0.12
OUTLINE = m.keyhole(0.95, 0.5, 2.2)
BAR = bars.three_segments(OUTLINE, EDGE)
TILTS = (0.0, 6.0, 0.0, 0.0)
SLOPE = 9 * np.sqrt(2)


@pytest.fixture(scope="module")
def scan() -> BarScan:
    return measure_bar(mesh_from_triangles(BAR))


def near(figure: Measured, truth: float, within: float) -> bool:
    return isinstance(figure, Figure) and abs(figure.value - truth) < within


def test_three_segments_are_found_in_order_with_their_lengths(scan: BarScan) -> None:
    assert [Kind.KEYHOLE] * 3 == [segment.kind for segment in scan.segments]
    for segment, length, start in zip(scan.segments, (SLOPE, 16.0, SLOPE), bars.KNEES, strict=False):
        assert near(segment.length_mm, length, 0.05)
        np.testing.assert_allclose(np.array(segment.start_mm)[:2], start[:2], atol=0.03)


def test_angles_between_axes_and_to_the_bisector(scan: BarScan) -> None:
    assert all(near(angle, 45.0, 0.05) for angle in scan.angles_deg)
    assert ["diagonal", "square", "diagonal"] == [segment.stance for segment in scan.segments]
    assert near(scan.segments[1].bisector_angle_deg, 90.0, 0.1)


def test_path_of_removal_is_found_from_mucosa_and_draw(scan: BarScan) -> None:
    assert not scan.out_given
    assert np.degrees(np.arccos(scan.out[2])) < 0.5


def test_supports_show_axis_and_tilt(scan: BarScan) -> None:
    assert 4 == len(scan.supports)
    for support, tilt, knee in zip(scan.supports, TILTS, bars.KNEES, strict=True):
        np.testing.assert_allclose(np.array(support.at_mm)[:2], knee[:2], atol=0.05)
        assert near(support.tilt_deg, tilt, 0.6)
        assert near(support.diameter_mm, 4.0, 0.02)
    assert () == scan.ends


def test_sections_say_size_undercut_and_gap_where_the_bar_is_free(scan: BarScan) -> None:
    for segment in scan.segments:
        assert near(segment.width_mm.median, 1.9, 0.01)
        assert near(segment.head_diameter_mm.median, 1.9, 0.01)
        assert near(segment.height_mm.median, 3.15, 0.01)
        assert near(segment.undercut_left_mm.median, 0.45, 0.01)
        assert near(segment.undercut_right_mm.median, 0.45, 0.01)
        assert near(segment.gap_mm.median, 2.0, 0.3)
        assert segment.usable is not None
        # 2 mm of the post at either end belong to no stretch
        assert 1.9 < segment.usable.from_mm < 2.6


def lengths_and_widths(scan: BarScan, back: Array | None = None) -> Array:
    """One row per segment, ordered by the x of its middle once the motion is undone."""
    turned = np.eye(3) if back is None else back
    rows = []
    for s in scan.segments:
        middle = turned @ (np.array(s.start_mm) + np.array(s.end_mm)) / 2
        figures = (s.length_mm, s.width_mm.median, s.height_mm.median, s.gap_mm.least)
        rows.append([middle[0], *(f.value for f in figures if isinstance(f, Figure))])
    return np.array(sorted(rows))[:, 1:]


def test_rigid_motion_changes_nothing(scan: BarScan) -> None:
    """Angles, sizes and gaps are those of the unmoved bar within 2 micrometres (sections start at the other end)."""
    turn = m.rotation([0, 1, 0], 180.0) @ m.rotation([1, 2, 3], 77.0)
    moved = measure_bar(mesh_from_triangles(m.moved(BAR, turn, [30.0, -40.0, 5.0])))

    np.testing.assert_allclose(lengths_and_widths(moved, turn.T), lengths_and_widths(scan), atol=2e-3)
    for one, two in zip(scan.angles_deg, moved.angles_deg, strict=True):
        assert near(one, 45.0, 0.01)
        assert near(two, 45.0, 0.01)


def test_given_end_points_are_enough(scan: BarScan) -> None:
    """End points a millimetre off lead to the same segments as the automatic proposal."""
    off = np.array([0.5, -0.4, 0.6])
    spans = [(tuple(p + off), tuple(q - off)) for p, q in zip(bars.KNEES[:-1], bars.KNEES[1:], strict=True)]
    given = measure_bar(mesh_from_triangles(BAR), out=(0, 0, 1), spans=spans)

    np.testing.assert_allclose(lengths_and_widths(given)[:, :3], lengths_and_widths(scan)[:, :3], atol=0.02)


def lone_bar(with_ball: bool = True) -> Array:
    parts = [m.prism(m.circle(0.95), 12.0, 0.08 if with_ball else EDGE)]
    if with_ball:
        neck = m.moved(m.prism(m.circle(0.7), 3.0, 0.05), np.eye(3), np.array([11.0, 0.0, 0.0]))
        parts += [neck, m.ball(1.3, np.array([14.4, 0.0, 0.0]), 0.05)]
    return np.concatenate(parts)


LONE = lone_bar(False)


@pytest.fixture(scope="module")
def lone() -> BarScan:
    return measure_bar(mesh_from_triangles(LONE), out=(0, 0, 1))


def test_order_and_winding_of_triangles_change_no_more_than_the_stated_error(lone: BarScan) -> None:
    (one,) = lone.segments
    (two,) = measure_bar(mesh_from_triangles(m.shuffled(LONE, 4)), out=(0, 0, 1)).segments
    for name in ("width_mm", "height_mm", "head_diameter_mm"):
        first, second = getattr(one, name).median, getattr(two, name).median

        assert abs(first.value - second.value) <= first.error
    assert isinstance(one.length_mm, Figure)
    assert near(two.length_mm, one.length_mm.value, one.length_mm.error)


def test_same_scan_gives_the_same_answer_twice(lone: BarScan) -> None:
    again = measure_bar(mesh_from_triangles(LONE), out=(0, 0, 1))

    np.testing.assert_array_equal(lengths_and_widths(lone), lengths_and_widths(again))


def test_cantilever_carries_its_ball_along_the_bar() -> None:
    scan = measure_bar(mesh_from_triangles(lone_bar()), out=(0, 0, 1))
    balls = [end.ball for end in scan.ends if isinstance(end.ball, Ball)]

    assert 2 == len(scan.ends)
    assert 1 == len(balls)
    assert near(balls[0].diameter_mm, 2.6, 0.01)
    assert near(balls[0].neck_diameter_mm, 1.4, 0.01)
    assert near(balls[0].tilt_deg, 90.0, 0.3)
    assert near(scan.segments[0].length_mm, 12.0, 0.02)


def test_segments_in_line_meet_on_the_post_between_them() -> None:
    feet = np.array([[-14.0, 0.0, -0.5], [1.0, 0.0, -0.5], [14.0, 0.0, -0.5]])
    bar = m.moved(m.prism(m.circle(0.95), 28.0, EDGE), np.eye(3), [-14.0, 0.0, 0.0])
    scan = measure_bar(mesh_from_triangles(np.concatenate([bar, *(bars.post(foot, edge=EDGE) for foot in feet)])))

    assert 3 == len(scan.supports)
    assert near(scan.segments[0].length_mm, 15.0, 0.05)
    assert near(scan.segments[1].length_mm, 13.0, 0.05)
    assert near(scan.angles_deg[0], 0.0, 0.1)


def test_bar_that_goes_on_beyond_its_last_post_ends_in_a_cantilever_with_its_ball() -> None:
    """7 mm beyond the post at x = 0 to a ball on top; the other post stands at the end of the bar."""
    bar = m.moved(m.prism(m.circle(0.95), 21.0, 0.08), np.eye(3), [-14.0, 0.0, 0.0])
    posts = [bars.post(np.array([x, 0.0, -0.5]), edge=EDGE) for x in (-14.0, 0.0)]
    neck = m.moved(m.prism(m.circle(0.7), 2.9, 0.06) @ m.rotation([0, 1, 0], 90.0).T, np.eye(3), [6.0, 0.0, 3.1])
    ball = m.ball(1.2, np.array([6.0, 0.0, 3.1]), 0.06)
    scan = measure_bar(mesh_from_triangles(np.concatenate([bar, *posts, neck, ball])), out=(0, 0, 1))

    assert 2 == len(scan.supports)
    assert near(scan.segments[0].length_mm, 14.0, 0.03)
    assert 1 == len(scan.ends)
    assert near(scan.ends[0].cantilever_mm, 7.0, 0.03)
    assert isinstance(scan.ends[0].ball, Ball)
    assert near(scan.ends[0].ball.diameter_mm, 2.4, 0.01)
    assert near(scan.ends[0].ball.tilt_deg, 0.0, 0.5)


def test_one_segment_has_no_bisector_of_its_own(lone: BarScan) -> None:
    asked = measure_bar(mesh_from_triangles(LONE), out=(0, 0, 1), bisector=(0, 1, 0))

    assert Unknown(Reason.TOO_FEW) == lone.segments[0].bisector_angle_deg
    assert lone.segments[0].stance is None
    assert "square" == asked.segments[0].stance


def test_bar_alone_in_space_does_not_show_the_path_of_removal() -> None:
    with pytest.raises(OutNotShown):
        measure_bar(mesh_from_triangles(LONE))


def test_a_ball_or_a_sheet_is_no_bar() -> None:
    sheet = m.mucosa(30.0, lambda x, y: 0.2 * np.sin(x), edge=0.2)
    for triangles in (m.ball(2.0, np.zeros(3), 0.1), sheet):
        with pytest.raises(NoBarFound):
            measure_bar(mesh_from_triangles(triangles), out=(0, 0, 1))


@pytest.mark.parametrize(
    "wrong",
    [
        {"out": (0, 0, 0)},
        {"out": (0, 0, float("nan"))},
        {"out": (0, 1)},
        {"out": (0, 0, 1), "spans": [((0, 0, 0), (0, 0, 0.1))]},
        {"out": (0, 0, 1), "bisector": (0, 0, 2)},
    ],
    ids=["zero", "not a number", "two numbers", "points together", "bisector along out"],
)
def test_direction_or_points_that_make_no_sense_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(BadDirection):
        measure_bar(Mesh(m.prism(m.circle(0.95), 8.0, 0.2)), **wrong)  # type: ignore[arg-type]
