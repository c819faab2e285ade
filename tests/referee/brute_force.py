"""The whole decision once more, as plainly as it can be written, for tiny cases (`tests/referee/tiny_case.py`).

It is kin to nothing else here: every mix is looked at, with no bound and nothing left out. What a pull takes follows
from trying every line that the denture could tip about; whether parts give in a demand from a proof that they cannot
(Farkas, by non-negative least squares); the best share is the value of a game. Of regrip it takes what a case and a
catalogue say, and the curve of an arch. All measures are known and nothing is reworked, so needs are not judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import ceil, inf
from typing import Any, NamedTuple

import numpy as np

from catalogue.models import Catalogue
from solver.case.schema import Case
from tests.referee.brute_mechanics import SINKING, Body, Fitted

NEAR = 1e-6

SEVERITY = {"budget": 1, "allowed": 2, "borne": 4, "supports": 4, "unsplint": 5}  # all others 3


class Best(NamedTuple):
    """The best mix: whether it breaks nothing, its weight, cost and parts, what it breaks and goes without."""

    fits: bool
    weight: int
    cost: int
    parts: int
    given_up: frozenset[str]
    without: frozenset[str]


class BruteForce:
    """One tiny case."""

    def __init__(self, case: Case, catalogue: Catalogue) -> None:
        self.case, self.catalogue, self.body = case, catalogue, Body(case, catalogue)

    def decide(self) -> set[Best]:
        """The least in weight of what is given up, then in cost on its terms; none where physics is against all.

        More than one where they are alike in all that counts, as mirror images are.
        """
        options = self.body.options()
        usable = [
            [o for here in options.values() for o in here if (o.kind == "support") is off] for off in (False, True)
        ]
        banned = not self.case.allowed.bar_off and bool(self.case.segments)
        best = [self.body.best_share(usable[0]), 0.0 if banned else self.body.best_share(usable[1])]
        every: list[tuple[tuple[Any, ...], Best]] = []
        for picked in product(*([None, *here] for here in options.values())):
            mix = [fitted for fitted in picked if fitted]
            missed = self._missed(mix, best) if len({f.kind == "support" for f in mix}) <= 1 else None
            if missed is None:
                continue
            broken = {code for code in missed if not code.startswith("stopgap")}
            weight = sum(self._weighs(code, by) for code, by in missed.items()) if broken else 0
            kinds, unlike = self._kinds_differ(mix), self._unlike(mix, options)
            two = self._on_two_points(mix)
            saves = Fraction(str(self.catalogue.defaults.preferences.alike_saves.value))
            worth = self.cost(mix) / (1 - saves) ** (kinds + unlike) / (1 - self._three if two else 1)
            gone = (("one-kind", kinds), ("alike", unlike), ("three-points", two))
            without = frozenset(code for code, wrong in gone if wrong)
            parts = sum(fitted.number for fitted in mix)
            found = Best(not broken, weight, self.cost(mix), parts, frozenset(broken), without)
            every.append(((weight, worth, two, kinds, unlike, found.cost, parts), found))
        least = min((rank for rank, _ in every), default=None)
        return {found for rank, found in every if rank == least}

    def cost(self, mix: Sequence[Fitted]) -> int:
        """High end, cents; the bar comes off once."""
        steps = {step for fitted in mix for step in fitted.attachment.steps if self.case.segments}
        return sum(round(100 * f.attachment.price.high) * f.number for f in mix) + sum(
            round(100 * self.catalogue.reworks[step].price.high) for step in steps
        )

    def _missed(self, mix: Sequence[Fitted], best: Sequence[float]) -> dict[str, int] | None:
        """What a mix breaks, with by how much, per cent; None where nobody could give that up."""
        kinds = {demand: self._kind(mix, demand) for demand in SINKING}
        if not mix or "fights" in kinds.values():
            return None
        case, off = self.case, mix[0].kind == "support"
        low = sum(f.number * f.attachment.retention_n.low for f in mix)
        missed: dict[str, int] = {}
        if case.money.cap is not None and self.cost(mix) > 100 * case.money.cap:
            missed["budget"] = _percent(self.cost(mix) - 100 * case.money.cap, 100 * case.money.cap)
        used, least_used = len(mix), {"lower": 2, "upper": 4}[case.arch]
        if off and used < least_used:
            missed["supports"] = _percent(least_used - used, least_used)
        level_n = case.wanted.level_n or 0
        if low < level_n - NEAR:
            missed["level"] = _percent(level_n - low, level_n)
        yes_or_no = {
            "allowed:bar_off": off and bool(case.segments) and not case.allowed.bar_off,
            "unsplint": off and bool(case.segments) and case.arch == "upper",
            "borne": set(kinds.values()) == {"stands"} and (off or len(case.supports) < 4),
        }
        usual = self.catalogue.defaults.tiers.usual
        weaker, stronger = sorted(self.body.pull_n(mix, side, "new") for side in ("left", "right"))
        yes_or_no["spread"] = weaker < usual.spread.value * best[off] * low - NEAR
        yes_or_no["even"] = weaker < usual.even.value * stronger - NEAR
        missed |= {code: 0 for code, wrong in yes_or_no.items() if wrong}
        for code, name, least_n, condition in self._floors():
            have = self.body.pull_n(mix, name, condition)
            if have < least_n - NEAR:
                missed[code] = _percent(least_n - have, least_n)
        peel = min(self.body.pull_n(mix, edge, "tight") for edge in ("front", "left", "right"))
        if peel > (inf if case.wanted.most_n is None else case.wanted.most_n) + NEAR:
            missed["peel"] = _percent(peel - (case.wanted.most_n or 0), case.wanted.most_n or 0)
        return missed

    def _floors(self) -> Iterator[tuple[str, str, float, str]]:
        told: dict[str, float] = dict(self.case.wanted.pull_n)  # type: ignore[arg-type]
        if self.case.wanted.hold_n is not None:
            told["centre"] = self.case.wanted.hold_n
        yield from ((f"pulls:{name}", name, n, "new") for name, n in told.items())
        tiers = self.catalogue.defaults.tiers
        many = len(self.case.supports) >= tiers.usual.many_supports.value
        sides = tiers.usual.sides_many_n if many else tiers.usual.sides_n
        for name in {"centre", "front", "left", "right"} - told.keys():
            of: Any = {"centre": "centre_n", "front": "front_n"}.get(name, "sides_n")
            least_n = sides.value if of == "sides_n" else getattr(tiers.usual, of).value
            yield f"pulls:{name}", name, least_n, "worn" if tiers.usual.until_renewal else "new"
            yield f"stopgap:{name}", name, getattr(tiers.stopgap, of).value, "new"

    def _kind(self, mix: Sequence[Fitted], demand: str) -> str:
        parts = [(at, fitted.axes, fitted.attachment) for fitted in mix for at in fitted.at]
        if self.body.gives(parts, demand):
            return "gives"
        return "fights" if any(self.body.gives([part], demand) for part in parts) else "stands"

    def _weighs(self, code: str, percent: int) -> int:
        kind = code.partition(":")[0]
        own = self.case.severity.get(kind, SEVERITY.get(kind, 3))  # type: ignore[call-overload]
        told = self.case.wanted.hold_n is not None and code == "pulls:centre"
        usual = kind in ("spread", "even") or (kind == "pulls" and not told and code != "pulls:behind")
        return int(own) * (1 if usual else 1000) * (100 + percent)

    @staticmethod
    def _kinds_differ(mix: Sequence[Fitted]) -> bool:
        return len({fitted.attachment.id for fitted in mix}) > 1

    @property
    def _three(self) -> Fraction:
        figure = self.catalogue.defaults.preferences.three_points_saves
        return Fraction(str(figure.value)) if figure and self.case.ends else Fraction(0)

    def _on_two_points(self, mix: Sequence[Fitted]) -> bool:
        """Whether an end and the bar between are not among three places; asked of a bar with free ends that stays."""
        used = [f.kind for f in mix]
        three = used.count("end") and used.count("segment") and len(used) > 2
        return bool(self._three) and "support" not in used and not three

    def _unlike(self, mix: Sequence[Fitted], options: dict[str, list[Fitted]]) -> bool:
        """Whether something has no like across the midline, where the same could stand."""
        across: dict[str, str] = {}
        pairs = sorted(
            (float(np.linalg.norm(at * [-1, 1, 1] - self.body.sites[other][1])), name, other)
            for name, (kind, at, _) in self.body.sites.items()
            for other in self.body.sites
            if self.body.sites[other][0] == kind and at[0] > 2 and self.body.sites[other][1][0] < -2
        )
        for apart, one, other in pairs:
            if apart <= 8 and one not in across and other not in across:
                across |= {one: other, other: one}
        fitted = {f.site: (f.attachment.id, f.number) for f in mix}
        return any(fitted.get(across[site]) != what for site, what in fitted.items() if site in across)


def _percent(missing: float, limit: float) -> int:
    return min(1000, ceil(100 * round(missing, 6) / limit - 1e-4)) if limit > 0 else 0
