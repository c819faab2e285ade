"""Charts as SVG or PNG, by matplotlib, and that of a trade-off; the same front gives the same bytes."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from cli.exit import BadInput
from cli.wording.tradeoff import axis_label
from solver.case.money import major
from solver.choose.goals import Axis
from solver.explore.tradeoff import Front

FORMATS = ("svg", "png")

# Letters are drawn as paths, so that no font has to be at hand; ids come from a fixed salt, not from chance.
_STYLE: dict[Any, Any] = {
    "svg.fonttype": "path",
    "svg.hashsalt": "regrip",
    "font.family": "DejaVu Sans",
    "font.size": 9,
}
_METADATA: dict[str, dict[str, Any]] = {"svg": {"Date": None, "Creator": None}, "png": {"Software": None}}


def draw_front(found: Front, format_: str) -> bytes:
    """The front as a picture in one of `FORMATS`; raises `BadInput` where matplotlib is not installed."""
    return picture(lambda figure: _plot(figure.add_subplot(), found), format_, (6.4, 4.0))


def picture(plot: Callable[[Any], object], format_: str, size_in: tuple[float, float]) -> bytes:
    """What `plot` draws on a figure of `size_in` inches; raises `BadInput` where matplotlib is not installed."""
    try:
        from matplotlib import rc_context  # noqa: PLC0415 - half a second, and only with the extra `charts`
        from matplotlib.figure import Figure  # noqa: PLC0415
    except ImportError:
        raise BadInput("a chart needs matplotlib", "install it with `pip install 'regrip[charts]'`") from None
    with rc_context(_STYLE):
        figure = Figure(figsize=size_in, layout="constrained")
        plot(figure)
        drawn = io.BytesIO()
        figure.savefig(drawn, format=format_, dpi=150, metadata=_METADATA[format_])
    return drawn.getvalue()


def picture_format(output: Path) -> str:
    """The one of `FORMATS` that the ending of a name stands for; raises `BadInput`."""
    suffix = output.suffix.removeprefix(".").lower()
    if suffix not in FORMATS:
        raise BadInput(f"'{output}' is no picture", "name a file that ends in .svg or .png")
    return suffix


def _plot(axes: Any, found: Front) -> None:
    """Undominated points as steps: between two of them more of one buys nothing of the other."""
    first = _values(found, found.axes[0], [point.first for point in found.points])
    second = _values(found, found.axes[1], [point.second for point in found.points])
    axes.step(first, second, where="post", color="0.6", linewidth=1)
    axes.plot(first, second, "o", color="0.15", markersize=5)
    if found.knee is not None:
        knee = (first[found.knee], second[found.knee])
        axes.plot(*knee, "o", color="none", markeredgecolor="0.15", markersize=11)
        axes.annotate("knee", knee, xytext=(9, -11), textcoords="offset points")
    axes.set_title(found.problem.case.case)
    axes.set_xlabel(axis_label(found, found.axes[0]))
    axes.set_ylabel(axis_label(found, found.axes[1]))
    axes.spines[["top", "right"]].set_visible(False)


def _values(found: Front, axis: Axis, values: Sequence[float]) -> list[float]:
    """In the units of the label: money in its major unit."""
    return [float(major(round(v), found.problem.purse.digits)) for v in values] if axis.unit == "money" else [*values]
