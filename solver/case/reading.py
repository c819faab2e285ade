"""From a YAML document to a checked `Case`: what no single field can know of is checked here."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from itertools import combinations

from catalogue.sheet import Finding, read_sheet, refuse
from catalogue.yaml_text import Document, Loc
from solver.case.layout import Layout, segments_cross
from solver.case.money import currencies, minor_digits
from solver.case.schema import Case, Spot
from solver.handbook.point import Point
from solver.handbook.support_spread import outside_mm
from solver.handbook.teeth import Tooth, UnknownTooth

Placed = tuple[Loc, Finding]

_SPOTS = ("left", "right", "front", "bitten_left", "bitten_right", "heel_left", "heel_right")
"""Places of the denture: a tooth or a point."""

LEAST_BREADTH_MM, LEAST_AHEAD_MM = 10.0, 1.0
"""Less between the ends of the saddles, or from these to the front, is no denture; our own sanity limits."""


def read_case(document: Document) -> Case:
    """The case in a document; raises `InputError` with every mistake at its line and column."""
    if not isinstance(document.data, dict):
        refuse(document, {(): Finding("expected `key: value` lines", "see `regrip schema case`")})
    case = read_sheet(Case, document)
    findings = dict([*_names(case), *_supports(case), *_teeth(case), *_money(case)])
    refuse(document, findings)
    refuse(document, dict(_side_of_tooth(case)))
    refuse(document, dict(_geometry(case)))
    return case


def _names(case: Case) -> Iterator[Placed]:
    """One name, one thing."""
    seen: dict[str, str] = {}
    for group in ("supports", "segments", "ends"):
        for name in getattr(case, group):
            if name in seen:
                yield (group, name), Finding(f"`{name}` is also in `{seen[name]}`", "give every site its own name")
            seen[name] = group
    yield from (
        (("mix", name), _missing(name, case.site_ids, "site")) for name in case.mix if name not in case.site_ids
    )


def _supports(case: Case) -> Iterator[Placed]:
    """Every segment and end hangs on supports that stand in the file."""
    for name, segment in case.segments.items():
        for index, support in enumerate(segment.between):
            if support not in case.supports:
                yield ("segments", name, "between", index), _missing(support, case.supports, "support")
        if segment.between[0] == segment.between[1]:
            yield ("segments", name, "between"), Finding("runs from a support to itself", "name two supports")
    for name, end in case.ends.items():
        if end.on not in case.supports:
            yield ("ends", name, "on"), _missing(end.on, case.supports, "support")
        elif end.at_mm is None and not any(end.on in s.between for s in case.segments.values()):
            problem = f"no segment ends at `{end.on}`, so its direction is not known"
            yield ("ends", name), Finding(problem, "give `at_mm: [x, y, z]`")


def _missing(name: str, known: Iterable[str], what: str) -> Finding:
    names = list(known)
    close = difflib.get_close_matches(name, names, n=1)
    advice = f"did you mean `{close[0]}`?" if close else f"known: {', '.join(names)}"
    return Finding(f"no {what} is called '{name}'", advice)


def _teeth(case: Case) -> Iterator[Placed]:
    spots: list[tuple[Loc, Spot | None]] = [
        (("supports", name, "tooth"), support.tooth) for name, support in case.supports.items()
    ]
    spots += [(("denture", key), getattr(case.denture, key)) for key in _SPOTS]
    for loc, spot in spots:
        if isinstance(spot, int) and (problem := _tooth_problem(spot, case.arch)):
            teeth = {"lower": "lower teeth are 31 to 48", "upper": "upper teeth are 11 to 28"}
            yield loc, Finding(problem, teeth[case.arch] + _of_another_system(spot, case.arch))


def _tooth_problem(number: int, arch: str) -> str:
    try:
        tooth = Tooth.from_fdi(number)
    except UnknownTooth:
        return f"{number} is no FDI tooth"
    return "" if tooth.arch == arch else f"{number} is not in the {arch} jaw"


def _of_another_system(number: int, arch: str) -> str:
    """The tooth of this jaw that has the number in the Universal system; empty where none has."""
    tooth = Tooth.from_universal(number)
    if tooth is None or tooth.arch != arch:
        return ""
    return f" by FDI; if {number} is a Universal number, write `{tooth.fdi}` ({tooth.name})"


def _money(case: Case) -> Iterator[Placed]:
    code = case.money.currency
    if code not in currencies():
        close = difflib.get_close_matches(code, sorted(currencies()), n=1)
        yield (
            ("money", "currency"),
            Finding(
                f"'{code}' is no currency of ISO 4217 in use", f"did you mean `{close[0]}`?" if close else "e.g. EUR"
            ),
        )
    elif case.money.cap is not None and round(case.money.cap, minor_digits(code)) != case.money.cap:
        digits = minor_digits(code)
        yield ("money", "cap"), Finding(f"{code} has {digits} decimals", f"write {case.money.cap:.{digits}f}")


def _side_of_tooth(case: Case) -> Iterator[Placed]:
    """A saddle that is named by a tooth ends on its own side."""
    quadrants = {
        "lower": {"left": "31 to 38", "right": "41 to 48"},
        "upper": {"left": "21 to 28", "right": "11 to 18"},
    }
    for side, teeth in quadrants[case.arch].items():
        spot = getattr(case.denture, side)
        if isinstance(spot, int) and (stands := Tooth.from_fdi(spot).side) != side:
            yield (
                ("denture", side),
                Finding(f"{spot} is a tooth of the {stands}", f"teeth of the {case.arch} {side} are {teeth}"),
            )


def _base(case: Case, layout: Layout) -> Iterator[Placed]:
    """The saddles end on their own sides, the front lies ahead of them: else there is no base to bear on."""
    base, teeth = layout.base, ((36, 46) if case.arch == "lower" else (26, 16))
    given = [("denture", key) for key in ("left", "right", "front") if getattr(case.denture, key) is not None]
    apart_mm, ahead_mm = base.left[0] - base.right[0], base.front[1] - (base.left[1] + base.right[1]) / 2
    if apart_mm < LEAST_BREADTH_MM:
        swapped = Finding(
            "the left saddle ends on the right of the right one",
            "x runs to the patient's left: swap `left` and `right`",
        )
        near = Finding(
            f"the two saddles end {apart_mm:.2g} mm apart",
            f"give the end of each, e.g. `left: {teeth[0]}` and `right: {teeth[1]}`",
        )
        yield from ((loc, swapped if apart_mm < 0 else near) for loc in given if loc[1] != "front")
    elif ahead_mm < LEAST_AHEAD_MM:
        yield (
            given[-1],
            Finding(
                "the front of the tooth line does not lie ahead of the saddles",
                "y runs forwards: check `left`, `right` and `front`",
            ),
        )


def _geometry(case: Case) -> Iterator[Placed]:
    layout = Layout(case)
    yield from _base(case, layout)
    for (one, a), (two, b) in combinations(case.supports.items(), 2):
        if layout.apart_mm(one, two) < ((a.diameter_mm or 1) + (b.diameter_mm or 1)) / 2:
            yield ("supports", two), Finding(f"stands in the same place as `{one}`", "check the positions")
    for one, two in combinations(case.segments, 2):
        if segments_cross(layout, case.segments[one], case.segments[two]):
            yield ("segments", two), Finding(f"crosses segment `{one}`", "check `between` and the positions")
    yield from _off_the_base(case, layout)


def _off_the_base(case: Case, layout: Layout) -> Iterator[Placed]:
    """The teeth end, and are bitten, on the base."""
    border = [Point(float(at[0]), float(at[1])) for at in layout.base.border]
    for side in ("left", "right"):
        heel, last, bitten = (f"{what}{side}" for what in ("heel_", "", "bitten_"))
        if getattr(case.denture, heel) is not None and getattr(layout.base, last)[1] < getattr(layout.base, heel)[1]:
            finding = Finding(f"lies in front of `{last}`", "name a tooth or point farther back or leave it out")
            yield ("denture", heel), finding
        elif getattr(case.denture, bitten) is not None:
            x, y, _ = getattr(layout.base, bitten).tolist()
            if outside_mm(Point(x, y), border) > 0:
                yield (
                    ("denture", bitten),
                    Finding("lies off the base", "name a tooth or point on it or leave it out"),
                )
