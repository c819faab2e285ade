"""Every figure of a catalogue entry as a line of three: what it is, its value with the unit, its source key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from catalogue.blocks import Band, Movement, Need, Pack, Service, Stack, Wear, Work
from catalogue.models import Attachment, Rework
from catalogue.quantities import QUANTITIES

NO_SOURCE = "none given"


class Line(NamedTuple):
    """One figure."""

    figure: str
    value: str
    source: str


def attachment_lines(entry: Attachment, currency: str) -> Iterator[Line]:
    """Needs, sizes, height, movement, hold, money, wear, service and packs."""
    yield from _needs(entry.needs)
    yield from _sizes(entry)
    yield from _stack(entry.stack)
    yield from _movement(entry.movement)
    yield Line("retention", f"{band(entry.retention_n)} N", entry.retention_n.source)
    yield Line("price", f"{band(entry.price)} {currency}", entry.price.source)
    yield from _work("", entry.work)
    if entry.wear:
        yield _wear(entry.wear)
    if entry.service:
        yield from _service(entry.service, currency)
    yield from (_pack(pack, entry.price, currency) for pack in entry.packs)


def rework_lines(entry: Rework, currency: str) -> Iterator[Line]:
    """Needs, what it makes of the site, money."""
    yield from _needs(entry.needs)
    for name, value in entry.makes.items():
        quantity = QUANTITIES[name]
        error = f" +- {entry.tolerance_mm:g}" if entry.tolerance_mm and quantity.unit == "mm" else ""
        made = value if isinstance(value, str) else f"{value:g}{error} {quantity.unit}"
        yield Line(f"makes: {quantity.label}", made, entry.source)
    for name, by in entry.changes.items():
        quantity = QUANTITIES[name]
        yield Line(f"changes: {quantity.label}", f"by {by:+g} {quantity.unit}", entry.source)
    if entry.hole_mm:
        yield Line("leaves a hole through the bar", f"{entry.hole_mm.value:g} mm", entry.hole_mm.source)
    if not (entry.makes or entry.changes):
        yield Line("the step itself", entry.name, entry.source)
    yield Line("price", f"{band(entry.price)} {currency}", entry.price.source)
    yield from _work("", entry.work)


def band(found: Band) -> str:
    """`3 to 6`, or one figure where both ends agree."""
    return span(found.low, found.high)


def span(low: float, high: float, unit: str = "", digits: int = 6) -> str:
    """A low and a high figure, each with at most so many digits."""
    both = f"{low:.{digits}g}" if low == high else f"{low:.{digits}g} to {high:.{digits}g}"
    return f"{both} {unit}".rstrip()


def _needs(needs: Iterable[Need]) -> Iterator[Line]:
    for need in needs:
        why = f" ({need.why})" if need.why else ""
        label = QUANTITIES[need.of].label
        yield Line(f"needs: {label}", need.want + why, need.source)
        if need.waive:
            unit = QUANTITIES[need.of].unit
            by = f"short by up to {need.waive.up_to:g} {unit}: " if unit else ""
            yield Line("  may be waived", by + need.waive.how, need.waive.source)


def _sizes(entry: Attachment) -> Iterator[Line]:
    if entry.length_mm is not None:
        yield Line("length of bar it takes", f"{entry.length_mm:g} mm", NO_SOURCE)
    if entry.most > 1:
        spacing = f", {entry.spacing_mm:g} mm apart" if entry.spacing_mm else ""
        yield Line("most on one segment", f"{entry.most}{spacing}", NO_SOURCE)


def _stack(stack: Stack) -> Iterator[Line]:
    parts = {"part": stack.part, "housing": stack.housing, "spacer": stack.spacer}
    named = " + ".join(f"{name} {height:g}" for name, height in parts.items() if height)
    yield Line("height", f"{stack.height_mm:g} mm" + (f" ({named})" if named else ""), stack.source)


def _movement(movement: Movement) -> Iterator[Line]:
    named = {
        "slides along the bar": (movement.slide_mm, "mm"),
        "goes sideways": (movement.sideways_mm, "mm"),
        "goes down": (movement.down_mm, "mm"),
        "goes up": (movement.up_mm, "mm"),
        "hinges about the bar": (movement.hinge_deg, "deg"),
        "tips along the bar": (movement.tip_deg, "deg"),
        "turns about the path of insertion": (movement.turn_deg, "deg"),
    }
    free = [
        Line(name, reach if isinstance(reach, str) else f"{reach:g} {unit}", movement.source)
        for name, (reach, unit) in named.items()
        if reach
    ]
    yield from free or [Line("movement", "none beyond the small play", movement.source)]


def _work(of: str, work: Work) -> Iterator[Line]:
    for place, minutes in (("bench", work.bench), ("chair", work.chair)):
        if any(minutes):
            yield Line(f"{of}time at the {place}", span(*minutes, "min"), work.source)
    if not any((*work.bench, *work.chair)):
        yield Line(f"{of}time at bench and chair", "0 min", work.source)


def _wear(wear: Wear) -> Line:
    low, high = wear.loss
    return Line("retention lost", f"{low:.0%} to {high:.0%} in {wear.cycles:,} insertions", wear.source)


def _service(service: Service, currency: str) -> Iterator[Line]:
    yield Line("service", f"{service.what}, every {span(*service.months, 'months')}", service.source)
    yield Line("  price", f"{band(service.price)} {currency}", service.price.source)
    yield from _work("  ", service.work)


def _pack(pack: Pack, piece: Band, currency: str) -> Line:
    pieces = f"{pack.pieces} piece{'' if pack.pieces == 1 else 's'}"
    if pack.price is None:
        return Line("pack", f"{pieces}, at the price of one each", piece.source)
    return Line("pack", f"{pieces} for {band(pack.price)} {currency}", pack.price.source)
