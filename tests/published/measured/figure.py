"""The figure of docs/measured.md: regrip's figure against what agrees with the paper, one point a line, as SVG."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from html import escape

from tests.published.measured.row import Row, Standing

_LEFT, _WIDE, _TOP, _STEP = 150, 560, 46, 12
_LOW, _HIGH = -1.0, 2.0
"""Where the accepted span begins and ends is 0 and 1; what lies farther out is set at the edge."""
_MARK = {
    Standing.AGREES: '<circle cx="{x:.1f}" cy="{y:.1f}" r="3.2" fill="#1b6e3c"/>',
    Standing.OPEN: '<rect x="{x0:.1f}" y="{y0:.1f}" width="6" height="6" fill="#b3261e"/>',
    Standing.LIMIT: '<path d="M{x:.1f} {top:.1f}L{right:.1f} {y1:.1f}L{x0:.1f} {y1:.1f}Z" fill="#8a6d00"/>',
}


def place(row: Row) -> float | None:
    """Where regrip's figure lies in the accepted span: 0 at its low end, 1 at its high end; None where none is known.

    A span without a high end is taken in doublings, one of them across it.
    """
    if row.accepted is None:
        return None
    low, high = row.accepted
    found = row.ours()
    if math.isinf(high):
        return math.log2(found / low) if found > 0 else _LOW
    if high == low:
        return 0.5 if found == low else _HIGH if found > low else _LOW
    return (found - low) / (high - low)


def figure(sections: Mapping[str, Sequence[Row]]) -> str:
    """The whole figure."""
    lines = sum(len(rows) + 2 for rows in sections.values())
    height = _TOP + _STEP * lines + 20
    body = "\n".join(_sections(sections))
    low, high = _x(0.0), _x(1.0)
    return f"""\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_LEFT + _WIDE + 20} {height}" font-family="sans-serif" \
font-size="9" role="img">
<title>Where each figure of regrip lies against what agrees with the paper</title>
<rect width="100%" height="100%" fill="#fff"/>
<rect x="{low:.1f}" y="{_TOP - 10}" width="{high - low:.1f}" height="{height - _TOP}" fill="#e3efe6"/>
<text x="{low:.1f}" y="{_TOP - 30}" text-anchor="middle">least accepted</text>
<text x="{high:.1f}" y="{_TOP - 30}" text-anchor="middle">most accepted</text>
<text x="{low:.1f}" y="{_TOP - 18}" text-anchor="middle" fill="#555">(or the least ratio)</text>
<text x="{high:.1f}" y="{_TOP - 18}" text-anchor="middle" fill="#555">(or twice it)</text>
{body}
</svg>
"""


def _sections(sections: Mapping[str, Sequence[Row]]) -> Iterator[str]:
    y = float(_TOP)
    for name, rows in sections.items():
        y += _STEP
        yield f'<text x="8" y="{y + 3:.1f}" font-weight="bold" font-size="10">{escape(name)}</text>'
        for row in rows:
            y += _STEP
            yield f"<g><title>{escape(row.line)}: {escape(row.claim)} ({row.standing.value})</title>"
            yield f'<text x="{_LEFT - 8}" y="{y + 3:.1f}" text-anchor="end">{escape(row.line)}</text>'
            yield f'<line x1="{_LEFT}" x2="{_LEFT + _WIDE}" y1="{y:.1f}" y2="{y:.1f}" stroke="#ddd"/>'
            yield f"{_point(row, y)}</g>"
        y += _STEP


def _point(row: Row, y: float) -> str:
    """The point of a line, or a word where its paper gives nothing to set it against."""
    at = place(row)
    if at is None:
        return f'<text x="{_x(0.5):.1f}" y="{y + 3:.1f}" text-anchor="middle" fill="#b3261e">not seen</text>'
    x = _x(min(max(at, _LOW), _HIGH))
    return _MARK[row.standing].format(x=x, y=y, x0=x - 3, y0=y - 3, top=y - 4, right=x + 3, y1=y + 3)


def _x(at: float) -> float:
    return _LEFT + _WIDE * (at - _LOW) / (_HIGH - _LOW)
