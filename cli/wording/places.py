"""Where things stand, as people of the trade say it: teeth by FDI numbers, ends by their side, stretches by both."""

from __future__ import annotations

from collections.abc import Sequence

from solver.case.layout import Layout
from solver.case.schema import Case
from solver.fit.candidate import Candidate, Question

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


class PlaceNames:
    """Names of the sites of a case."""

    def __init__(self, case: Case) -> None:
        self._case, self._layout = case, Layout(case)

    def head(self) -> str:
        """`Lower bar on three implants (43, 32, 34)`."""
        case = self._case
        many = NUMBERS[len(case.supports)]
        implants = "implant" if len(case.supports) == 1 else "implants"
        teeth = ", ".join(map(self.support, case.supports))
        jaw = case.arch.capitalize()
        if not case.segments:
            return f"{jaw} jaw, {many} {implants} without a bar ({teeth})"
        return f"{jaw} bar on {many} {implants} ({teeth})"

    def support(self, name: str) -> str:
        """The tooth that an implant stands for, else its own name."""
        tooth = self._case.supports[name].tooth
        return str(tooth) if tooth is not None else name

    def site(self, name: str) -> str:
        """`left end`, `bar 43-32`, `implant 43`."""
        case = self._case
        if name in case.segments:
            one, other = case.segments[name].between
            return f"bar {self.support(one)}-{self.support(other)}"
        if name in case.ends:
            same = [e for e in case.ends if self._side(e) == self._side(name)]
            return f"{self._side(name)} end" if len(same) == 1 else f"end {name}"
        return f"implant {self.support(name)}"

    def _side(self, end: str) -> str:
        return "left" if float(self._layout.ends[end][0]) > 0 else "right"

    def sites(self, names: Sequence[str]) -> str:
        """Several sites in one breath."""
        told = [self.site(name) for name in names]
        bars, implants, ends = (
            [each for each in told if test(each)]
            for test in (_is_bar, _is_implant, lambda each: not _is_bar(each) and not _is_implant(each))
        )
        if len(bars) > 1:
            bars = ["bar " + listed([each.removeprefix("bar ") for each in bars])]
        if len(implants) > 1:
            implants = ["implants " + listed([each.removeprefix("implant ") for each in implants])]
        if len(ends) == 2 and all(each.endswith(" end") for each in ends):
            ends = ["both ends"]
        return listed([*bars, *ends, *implants])

    @property
    def bar_off(self) -> str:
        """How single implants stand: `With the bar off`, or without one."""
        return "With the bar off" if self._case.segments else "Without a bar"

    def asked(self, question: Question) -> str:
        """What a question is about: the bar where it is asked of every stretch, else the sites."""
        segments = {place[1] for place in question.places if place[0] == "segments"}
        if not question.sites:
            alone = "the implant" if len(self._case.supports) == 1 else "the implants"
            return "the bar" if self._case.segments else alone
        return "the bar" if segments and segments == set(self._case.segments) else self.sites(question.sites)


def _is_bar(name: str) -> bool:
    return name.startswith("bar ")


def _is_implant(name: str) -> bool:
    return name.startswith("implant ")


def listed(texts: Sequence[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    return " and ".join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts)


def together(mix: Sequence[Candidate]) -> list[list[Candidate]]:
    """What is fitted, sites with the same parts and steps side by side."""
    found: dict[str, list[Candidate]] = {}
    for candidate in mix:
        found.setdefault(candidate.label, []).append(candidate)
    return list(found.values())


def capital(text: str) -> str:
    """With a capital letter in front."""
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """Without a capital letter in front."""
    return text[:1].lower() + text[1:]
