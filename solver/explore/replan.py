"""Which plans another catalogue would alter: every case planned under both."""

from __future__ import annotations

from catalogue.models import Catalogue
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.explore.what_if import Varied


def replanned(case: Case, before: Catalogue, after: Catalogue, how: Options = Options()) -> Varied:  # noqa: B008 - frozen
    """The plan of a case under two catalogues; raises `NoExchange` where it cannot pay for one of them."""
    return Varied(plan(case, before, how), plan(case, after, how))


def is_altered(found: Varied) -> bool:
    """True where another decision is taken or the same one costs otherwise."""
    old, new = found.before.best, found.after.best
    return found.flips or (old and old.cost) != (new and new.cost)
