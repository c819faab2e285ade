"""What the marks of the view from above mean."""

from __future__ import annotations

from catalogue.blocks import AttachmentKind
from cli.draw import marks
from cli.draw.canvas import XY, Canvas
from cli.draw.tipping import legend_mark, weakest
from cli.wording import words
from solver.assess.assessment import Assessment

SCALE = 2.0
"""Millimetres of the page for one of the case, here and in the view from above."""


def legend(plan: Assessment | None, name: str = "legend", columns: int = 3) -> Canvas:
    """What the marks mean: those of the bar, the kinds that are fitted, and the weakest pull; down the columns."""
    kinds = kinds_of(plan)
    bar = ("off", "bar, taken off") if takes_bar_off(plan) else ("bar", "bar")
    canvas = Canvas(name, SCALE, "What the marks mean")
    entries: list[tuple[str, str]] = [("support", "support"), bar, ("demand", "point that a bite presses")]
    entries += [("unmeasured", "size not measured")]
    entries += [(kind, marks.KIND_NAMES[kind]) for kind in marks.KIND_NAMES if kind in kinds]
    if (pull := weakest(plan)) is not None:
        entries.append(("pull", f"weakest pull, {words.PULL[pull.name]}"))
        if pull.pull.lift.tipping_line():
            entries.append(("line", "tips about this line"))
    rows = -(-len(entries) // columns)
    for number, (key, told) in enumerate(entries):
        column, row = divmod(number, rows)
        x, y = column * canvas.page(56.0), row * canvas.page(8.0)
        _legend_mark(canvas, key, (x, y))
        canvas.text((x + canvas.page(7.0), y + canvas.page(0.9)), told)
    return canvas


def takes_bar_off(plan: Assessment | None) -> bool:
    """True where a plan leaves the supports without the bar."""
    return plan is not None and any(c.takes_bar_off for c in plan.mix)


def kinds_of(plan: Assessment | None) -> list[AttachmentKind]:
    """Kinds of attachment in a plan."""
    return list(dict.fromkeys(c.attachment.kind for c in plan.mix)) if plan else []


def _legend_mark(canvas: Canvas, key: str, at: XY) -> None:
    match key:
        case "support":
            marks.support(canvas, at, 2.4, True)
        case "bar":
            canvas.rect((at[0] - 2.4, at[1] - 0.7), (4.8, 1.4), marks.BAR)
        case "off":
            canvas.rect((at[0] - 2.4, at[1] - 0.7), (4.8, 1.4), marks.BAR_OFF)
        case "unmeasured":
            canvas.rect((at[0] - 2.4, at[1] - 0.7), (4.8, 1.4), marks.UNMEASURED)
        case "demand":
            marks.demand_point(canvas, (at[0], at[1] + 0.4))
        case "pull" | "line":
            legend_mark(canvas, key, at)
        case "clip" | "ball" | "stud" | "magnet" | "lining" | "bare":
            marks.mark(canvas, key, at, (1.0, 0.0), 4.0)
