"""Which figures are weak, where they stand, and that nothing else changes when one is set."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from solver.explore.weak_figures import WeakFigure, weak_figures, with_figure
from tests.solver.small import band, need, part, renewal, step, stock

PRICED: dict[str, Any] = {"work": {"bench": [5, 9], "source": "invented"}}


def small(**more: Any) -> Catalogue:
    clip = part("clip", needs=[need("width_mm", at_least=1.5, at_most=2)], price=band(10, 12), **PRICED, **more)
    return stock(clip, steps=(step("cap", "end", makes={"ball_mm": 2.2}, tolerance_mm=0.02, price=band(3, 3)),))


def named(catalogue: Catalogue, entry: str, **how: bool) -> dict[str, WeakFigure]:
    found = (figure for figure in weak_figures(catalogue, **how) if figure.path[1] == entry)
    return {".".join(map(str, figure.path[2:])): figure for figure in found}


def test_every_weak_figure_of_an_attachment_is_found() -> None:
    """What is nought, free or a word is not varied; the price has a band of its own, a limit has none."""
    found = named(small(), "clip")

    assert {"needs.0.at_least", "needs.0.at_most", "retention_n", "price", "work.bench"} == set(found)
    assert ((10, 12), (10, 12), True) == (found["price"].given, found["price"].ends, found["price"].banded)
    assert (5, 9) == found["work.bench"].ends
    assert ((1.5, 1.5), False) == (found["needs.0.at_least"].given, found["needs.0.at_least"].banded)
    assert pytest.approx((1.35, 1.65)) == found["needs.0.at_least"].ends


def test_what_a_step_is_told_to_make_is_no_estimate_and_how_well_it_does_is() -> None:
    assert {"tolerance_mm"} == set(named(small(), "cap"))


@pytest.mark.parametrize(("varied", "kind"), [(True, "memory"), (False, "published"), (False, "common-practice")])
def test_only_memory_and_invention_are_weak(varied: bool, kind: str) -> None:
    catalogue = small()
    source = catalogue.sources["invented"].model_copy(update={"kind": kind})
    known = catalogue.model_copy(update={"sources": {"invented": source}})

    assert varied is bool(list(weak_figures(known)))


def test_prices_of_ones_own_are_not_varied(tmp_path: object) -> None:
    """An overlay with a price list stands behind its prices."""
    starter = load_catalogue([])
    name = next(iter(starter.attachments))
    price = starter.attachments[name].price
    overlay = with_source(starter, name, "our-prices")

    assert "price" in named(starter, name)
    assert "price" not in named(overlay, name)
    assert price.high == overlay.attachments[name].price.high


def with_source(catalogue: Catalogue, name: str, source: str) -> Catalogue:
    ours = next(iter(catalogue.sources.values())).model_copy(update={"kind": "common-practice"})
    entry = catalogue.attachments[name]
    entry = entry.model_copy(update={"price": entry.price.model_copy(update={"source": source})})
    sources, attachments = catalogue.sources | {source: ours}, catalogue.attachments | {name: entry}
    return catalogue.model_copy(update={"sources": sources, "attachments": attachments})


def test_renewals_are_varied_only_where_the_years_count() -> None:
    catalogue = small(service=renewal(6, 12, price=band(1, 2), **PRICED))

    assert not any(of.startswith("service") for of in named(catalogue, "clip"))
    years = named(catalogue, "clip", over_years=True)
    assert {"service.months", "service.price", "service.work.bench"} == {of for of in years if "service" in of}


def test_setting_a_figure_changes_it_and_nothing_else() -> None:
    catalogue = small()
    before = catalogue.model_dump()

    for figure in weak_figures(catalogue):
        for value in figure.ends:
            after = with_figure(catalogue, figure.path, value).model_dump()
            assert {figure.path} == set(differences(before, after)) or value in figure.given
    assert before == catalogue.model_dump()


def differences(one: object, other: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Where two dumps differ, a band counted as one figure."""
    if isinstance(one, dict) and isinstance(other, dict):
        if {"low", "high"} <= set(one):
            return [path] if one != other else []
        return [at for key in one for at in differences(one[key], other[key], (*path, key))]
    if isinstance(one, tuple | list) and isinstance(other, tuple | list) and any(isinstance(x, dict) for x in one):
        return [
            at for key, pair in enumerate(zip(one, other, strict=True)) for at in differences(*pair, (*path, key))
        ]
    return [path] if one != other else []
