"""The heights at one site: what stands on the bar, and the teeth it must stay under."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from cli.draw import marks
from cli.draw.canvas import INK, Canvas, Pen
from cli.wording.numbers import Figures
from solver.assess.problem import Problem
from solver.case.measure import Measure
from solver.case.sites import Fact, Site
from solver.fit.candidate import Candidate
from solver.fit.needs import Judgement, Verdict

SCALE = 3.0
_WIDE_MM = 8.0
_LABEL_MM = 3.4


class Layer(NamedTuple):
    """A layer of the stack and how it is drawn."""

    name: str
    height_mm: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Heights:
    """The stack at a site, mm above the crest; `top_mm` is 0 and `grounded` false where the crest is not known."""

    top_mm: float
    grounded: bool
    bar_mm: float | None
    layers: tuple[Layer, ...]
    room: Measure
    judgement: Judgement | None

    @property
    def stack_mm(self) -> float:
        """Height of the layers together."""
        return sum(layer.height_mm for layer in self.layers)


def heights(problem: Problem, site: Site, candidate: Candidate | None) -> Heights:
    """The stack of a candidate at a site, or of what must cover the site where nothing is fitted."""
    judgement = _room_need(candidate) if candidate else problem.fit.at(site.id).bare
    room = _measure(judgement.have if judgement else site.facts.get("room_mm"))
    top = _measure(site.facts.get("space_mm")).less(_measure(site.facts.get("room_mm")))
    bar = _measure(site.facts.get("ball_mm" if site.kind == "end" else "height_mm")).value
    layers = (*_fitted(candidate), *_cover(problem)) if candidate or site.kind == "end" else ()
    shown = tuple(layer for layer in layers if layer.height_mm > 0)
    return Heights(top.value or 0.0, top.known, bar, shown, room, judgement)


def stack(problem: Problem, site: Site, candidate: Candidate | None, figures: Figures, name: str) -> Canvas:
    """Side view of the stack to scale, with a ruler; what stands too high is cross-hatched."""
    canvas = Canvas(name, SCALE, f"Heights at {site.id}")
    found = heights(problem, site, candidate)
    labels: list[tuple[float, str]] = []
    _below(canvas, found, site, labels, figures)
    level = found.top_mm
    for layer in found.layers:
        canvas.rect((0, -level - layer.height_mm), (_WIDE_MM, layer.height_mm), layer.pen, layer.name)
        labels.append((-level - layer.height_mm / 2, f"{layer.name} {figures.plain(layer.height_mm)}"))
        level += layer.height_mm
    _ceiling(canvas, found, level, labels, figures)
    _write(canvas, labels)
    _ruler(canvas, found, max(level, found.top_mm + (found.room.value or 0.0)), figures)
    foot = canvas.box.bottom + canvas.page(5.0)
    canvas.text((0, foot), f"{site.kind} {site.id}", bold=True)
    canvas.text((0, foot + canvas.page(4.0)), _room(found, figures))
    return canvas


def _room_need(candidate: Candidate) -> Judgement | None:
    return next((j for j in candidate.judgements if j.of == "room_mm" and not j.step), None)


def _measure(fact: Fact | None) -> Measure:
    return fact if isinstance(fact, Measure) else Measure()


def _fitted(candidate: Candidate | None) -> tuple[Layer, ...]:
    if candidate is None or candidate.attachment.kind == "bare":
        return ()
    pile, kind = candidate.attachment.stack, candidate.attachment.kind
    return (
        Layer("female" if kind == "ball" else kind, pile.part, Pen(marks.ACCENT, 0.3, pattern="slanted")),
        Layer("housing", pile.housing, Pen(INK, 0.3, pattern="level")),
        Layer("spacer", pile.spacer, Pen(INK, 0.3, "#ffffff", dash_mm=(0.8, 0.6))),
    )


def _cover(problem: Problem) -> tuple[Layer, ...]:
    denture, defaults = problem.case.denture, problem.catalogue.defaults
    acrylic = defaults.acrylic_mm.value if denture.acrylic_mm is None else denture.acrylic_mm
    tooth = defaults.tooth_mm.value if denture.tooth_mm is None else denture.tooth_mm
    return (
        Layer("acrylic", acrylic, Pen(INK, 0.3, "#efefef", pattern="grained")),
        Layer("tooth", tooth, Pen(INK, 0.3, "#ffffff", pattern="upright")),
    )


def _below(canvas: Canvas, found: Heights, site: Site, labels: list[tuple[float, str]], figures: Figures) -> None:
    """The bar under the stack and the crest of the ridge, as far as they are known."""
    thing = {"segment": "bar", "end": "ball", "support": "platform"}[site.kind]
    height = found.bar_mm or 0.8
    pen = Pen(INK, 0.3, "#8c8c8c") if found.bar_mm else Pen(INK, 0.3, "#ffffff", dash_mm=(1.0, 0.7))
    canvas.rect((_WIDE_MM * 0.2, -found.top_mm), (_WIDE_MM * 0.6, height), pen, thing)
    labels.append((-found.top_mm + height / 2, f"{thing} {figures.plain(found.bar_mm)}" if found.bar_mm else thing))
    if found.grounded:
        canvas.line([(-1.0, 0), (_WIDE_MM + 1.0, 0)], Pen(INK, 0.5), "crest")
        labels.append((0.0, "crest of the ridge"))


def _ceiling(canvas: Canvas, found: Heights, level: float, labels: list[tuple[float, str]], figures: Figures) -> None:
    """The opposing teeth, the error of the room, and the shortfall."""
    if found.room.value is None:
        return
    ceiling = found.top_mm + found.room.value
    if level > ceiling + 1e-9:
        canvas.rect((0, -level), (_WIDE_MM, level - ceiling), Pen(marks.ALARM, 0.4, pattern="missing"), "short")
        missing = figures.plain(level - ceiling)
        asked = found.judgement is not None and found.judgement.verdict is Verdict.ASK
        labels.append((-level - canvas.page(2.0), f"short {missing}" + (" (within the error)" if asked else "")))
    canvas.line([(-1.0, -ceiling), (_WIDE_MM + 1.0, -ceiling)], Pen(INK, 0.7), "ceiling")
    for edge in (found.room.low, found.room.high) if found.room.error else ():
        y = -found.top_mm - edge
        canvas.line([(-1.0, y), (_WIDE_MM + 1.0, y)], Pen(INK, 0.2, dash_mm=(0.8, 0.6)), "ceiling-error")
    labels.append((-ceiling, "opposing teeth"))


def _room(found: Heights, figures: Figures) -> str:
    if not found.room.known:
        return "room not measured" + (f", needs {figures.plain(found.stack_mm)}" if found.layers else "")
    needs = f", needs {figures.plain(found.stack_mm)}" if found.layers else ""
    return f"room {figures.measure(found.room)}{needs}"


def _write(canvas: Canvas, labels: list[tuple[float, str]]) -> None:
    """Labels to the right, pushed apart downwards, each with a leader to its layer."""
    step, x = canvas.page(_LABEL_MM), _WIDE_MM + 1.0
    placed = float("-inf")
    for at, text in sorted(labels):
        y = max(at, placed + step)
        placed = y
        canvas.line([(x + 0.1, at), (x + canvas.page(3.0), y)], Pen(marks.FAINT, 0.15))
        canvas.text((x + canvas.page(3.6), y + canvas.page(0.9)), text)


def _ruler(canvas: Canvas, found: Heights, top_mm: float, figures: Figures) -> None:
    """Millimetres from the crest, or from the top of the bar where the crest is not known."""
    x = -1.8
    canvas.line([(x, 0), (x, -float(int(top_mm) + 1))], Pen(INK, 0.2), "ruler")
    for mm in range(int(top_mm) + 2):
        tick = canvas.page(1.6 if mm % 5 == 0 else 0.9)
        canvas.line([(x - tick, -mm), (x, -mm)], Pen(INK, 0.2))
        if mm % 5 == 0:
            canvas.text((x - canvas.page(2.2), -mm + canvas.page(0.9)), figures.number(mm, 0), anchor="end")
