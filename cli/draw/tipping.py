"""The line that the denture tips about under the pull that takes least."""

from __future__ import annotations

from cli.draw import marks
from cli.draw.canvas import XY, Box, Canvas, Pen
from cli.draw.view import View
from solver.assess.assessment import Assessment
from solver.mechanics.hold import TippingLine
from solver.mechanics.pulls import PullHold

LINE = Pen(marks.ALARM, 0.4, dash_mm=(2.4, 0.8, 0.5, 0.8))


def weakest(plan: Assessment | None) -> PullHold | None:
    """The pull that takes least, the first of equals; None where nothing is fitted."""
    return plan.weakest if plan and plan.mix else None


def tipping(canvas: Canvas, view: View, pull: PullHold) -> tuple[XY, XY] | None:
    """Draw the pull and its line across the drawing; the ends of the line, None where it comes straight out."""
    pulled(canvas, view.flat(pull.at), "pull")
    line = pull.pull.lift.tipping_line()
    if line is None:
        return None
    ends = across(canvas.box, view, line)
    if ends:
        canvas.line(ends, LINE, "tipping-line")
    return ends


def pulled(canvas: Canvas, at: XY, of: str = "") -> None:
    """A pull towards the reader: a ring with a dot."""
    canvas.circle(at, canvas.page(1.4), Pen(marks.ALARM, 0.35, "#ffffff"), of)
    canvas.circle(at, canvas.page(0.4), Pen(marks.ALARM, 0.1, marks.ALARM))


def across(box: Box, view: View, line: TippingLine) -> tuple[XY, XY] | None:
    """The piece of an endless line that lies in a box; None where it passes by."""
    (x, y), (ux, uy) = view.flat(line.foot), view.flat(line.direction)
    least, most = float("-inf"), float("inf")
    for at, step, low, high in ((x, ux, box.left, box.right), (y, uy, box.top, box.bottom)):
        if abs(step) < 1e-12:
            if not low <= at <= high:
                return None
            continue
        one, other = sorted(((low - at) / step, (high - at) / step))
        least, most = max(least, one), min(most, other)
    return ((x + least * ux, y + least * uy), (x + most * ux, y + most * uy)) if least < most else None


def legend_mark(canvas: Canvas, key: str, at: XY) -> None:
    """The line or the pull, as in the drawing."""
    if key == "pull":
        pulled(canvas, at)
    else:
        canvas.line([(at[0] - 2.4, at[1]), (at[0] + 2.4, at[1])], LINE)
