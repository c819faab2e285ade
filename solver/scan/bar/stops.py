"""Where a stretch ends: at the face of the bar, on a post, or where it meets the next one."""

from __future__ import annotations

import numpy as np

from solver.scan.bar.axes import IN_LINE_ERROR_MM
from solver.scan.bar.centreline import Line
from solver.scan.bar.chain import ON_POST, Span, Stop
from solver.scan.bar.segment import end_of_bar
from solver.scan.bar.support import Post, Support, find_post, support
from solver.scan.section.section import WINDOW_MM, gather
from solver.scan.surface.mesh import Array, Flags, Mesh, along_axis, near
from solver.scan.surface.sampling import batch, extents, surrounded
from solver.scan.surface.slicing import across, frame_for

FREE_STEP_MM = 0.1  # between the sections that look for a free end
SAME_SIZE = 0.12  # share by which a section may differ from those before it and still be of the bar
RUN = 3  # like sections that make a bar
CANTILEVER_MM = 14.0  # beyond the last post in which the end of the bar is sought
POST_REACH_MM = 3.0  # from the end of a bar to the axis of a post that carries it there
POST_LEVER_MM = 4.0  # from the middle of the post that is seen up to the axis of the bar
POST_BOX_MM = 6.5  # half side of the space in which a post is sought


def with_ends(span: Span) -> Span:
    """Free ends moved from where the stretch was last seen to where the bar ends."""
    line, triangles = span.axis.line, span.axis.triangles
    start, end = span.start, span.end
    if end.joint is None:
        end = _free_stop(triangles, line, 1.0)
    if start.joint is None:
        start = _free_stop(triangles, line, -1.0)
    return Span(span.axis, start, end)


def _free_stop(triangles: Array, line: Line, sign: float) -> Stop:
    """Walk outwards section by section while the bar keeps its size, then look for its end face."""
    seen = sign * (line.high if sign > 0 else line.low)
    stations, size, closed = _sizes(triangles, line, sign, seen - 0.5, seen + 7.0)
    if not closed.any():
        return Stop(sign * seen, float("inf"), None)
    typical = float(np.median(size[:5]))
    whole = closed & (np.abs(size - typical) < SAME_SIZE * typical)
    last = int(np.argmin(whole)) - 1 if not whole.all() else len(whole) - 1
    return _face(triangles, line, sign, float(stations[max(last, 0)]), typical)


def further_end(mesh: Mesh, span: Span, stop: Stop, sign: float) -> Stop | None:
    """Where the bar ends that goes on beyond a stop, behind a post or the foot of a ball; None where it does not."""
    line, post = span.axis.line, sign * stop.station
    inside = sign * (line.high if sign > 0 else line.low)
    _, sizes, closed = _sizes(span.axis.triangles, line, sign, inside - 1.0, inside)
    if not closed.any():
        return None
    typical = float(np.median(sizes[closed]))
    limits = sorted((sign * (post - 1.0), sign * (post + CANTILEVER_MM + 1.0)))
    triangles = along_axis(mesh, line.origin, line.a, (limits[0], limits[1]), WINDOW_MM + 1.5)
    stations, size, closed = _sizes(triangles, line, sign, post + 0.5, post + CANTILEVER_MM)
    solid = closed & (size > (1 - SAME_SIZE) * typical)
    region = len(solid) if solid.all() else int(np.argmin(solid))
    like = (size[:region] < (1 + SAME_SIZE) * typical).astype(int)
    if region < RUN or np.convolve(like, np.ones(RUN, dtype=int)).max() < RUN:
        return None
    return _face(triangles, line, sign, float(stations[region - 1]), typical)


def _sizes(triangles: Array, line: Line, sign: float, low: float, high: float) -> tuple[Array, Array, Flags]:
    """(outward stations, size across, closed around the axis) of sections from `low` to `high` outwards."""
    stations = np.arange(low, high, FREE_STEP_MM)
    own = gather(triangles, frame_for(line.origin, line.a * sign, across(line.a)), stations)
    if not len(own.plane):
        return stations, np.zeros(len(stations)), np.zeros(len(stations), dtype=bool)
    box = extents(batch(own, len(stations)))
    size = np.maximum(box[:, 1] - box[:, 0], box[:, 3] - box[:, 2])
    return stations, size, surrounded(own, len(stations)) > 0.6


def _face(triangles: Array, line: Line, sign: float, last: float, size_mm: float) -> Stop:
    """The end face beyond the `last` whole section; where a neck goes on, the end of the full size."""
    corners = triangles - line.origin
    along = corners @ line.a
    off = np.linalg.norm(corners - along[..., None] * line.a, axis=2)
    face = end_of_bar(along * sign, off, last, size_mm)
    if face is None:
        return Stop(sign * (last + FREE_STEP_MM / 2), 1.5 * FREE_STEP_MM, None)
    return Stop(sign * face.value, face.error, None)


def with_supports(spans: list[Span], out: Array) -> tuple[list[Span], list[Support]]:
    """Supports where stretches meet and where a post carries a free end (which is then no free end)."""
    found: list[Support] = []
    spans = list(spans)
    for number, span in enumerate(spans):
        start, end = span.start, span.end
        if start.joint is None and (post := _post_at_end(span, start, 1.0, out)):
            start = _on_post(span, post)
            found.append(support(span.axis.line.at(start.station), post, out))
        if end.joint is not None:
            place = span.axis.line.at(end.station)
            post = find_post(_box(span.axis.triangles, place), place, out)
            if post is not None and end.error_mm >= IN_LINE_ERROR_MM and number + 1 < len(spans):
                # two stretches in line: only the post between them shows where they meet
                end, following = _on_post(span, post, end.joint), spans[number + 1]
                spans[number + 1] = following._replace(start=_on_post(following, post, end.joint))
            found.append(support(span.axis.line.at(end.station), post, out))
        elif post := _post_at_end(span, end, -1.0, out):
            end = _on_post(span, post)
            found.append(support(span.axis.line.at(end.station), post, out))
        spans[number] = Span(span.axis, start, end)
    return spans, found


def _box(triangles: Array, place: Array) -> Array:
    return near(Mesh(triangles), place, POST_BOX_MM).triangles


def _post_at_end(span: Span, stop: Stop, inwards: float, out: Array) -> Post | None:
    """The best shown post under the last millimetres of a stretch."""
    line = span.axis.line
    place = line.at(stop.station)
    triangles = _box(span.axis.triangles, place)
    for back in (0.0, 1.5, POST_REACH_MM, -1.5):
        post = find_post(triangles, line.at(stop.station + inwards * back), out)
        if post is not None and abs(_meets(line, post) - stop.station) <= POST_REACH_MM + 0.5:
            return post
    return None


def _meets(line: Line, post: Post) -> float:
    """Station on the bar's axis nearest to the axis of the post."""
    normal = np.cross(post.axis, np.cross(line.a, post.axis))
    return float((post.at - line.origin) @ normal / (line.a @ normal))


def _on_post(span: Span, post: Post, joint: int | None = ON_POST) -> Stop:
    return Stop(_meets(span.axis.line, post), 0.01 + POST_LEVER_MM * post.axis_error_rad, joint)
