"""What a batch has in common, on the screen."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from cli.batch.summary import SHARES, Lack, Summary
from cli.terminal.batch import OUTCOME, cases
from cli.terminal.screen import heading, lines, table
from cli.wording import words
from cli.wording.summary import rule

MOST_ROWS = 15
QUANTILES = ("least", *(f"{part:.0%} pay no more than" for part in SHARES[1:-1]), "most")


def show_summary(page: Console, found: Summary, *, every: bool = False) -> None:
    """All tables; of the long ones the first rows, unless `every`."""
    most = None if every else MOST_ROWS
    page.print(Text(cases(found.cases), style="bold"))
    if found.catalogues > 1:
        lines(page, [f"from {found.catalogues} catalogues or versions of regrip, which cannot well be compared"])
    page.print()
    counts = [(n, OUTCOME.get(name, name)) for name, n in found.outcomes.items()]
    table(page, (">cases", ">share", "outcome"), ((f"{n:,}", share(n, found), text) for n, text in counts))
    if found.attachments:
        heading(page, "Attachments", "of the plans")
        rows = ((f"{u.cases:,}", share(u.cases, found), f"{u.pieces:,}", u.attachment) for u in found.attachments)
        table(page, (">cases", ">share", ">pieces", "attachment"), list(rows)[:most])
    if found.reworks:
        heading(page, "Reworks", "of the plans, beside the steps of an attachment")
        rows3 = ((f"{r.cases:,}", share(r.cases, found), r.rework) for r in found.reworks)
        table(page, (">cases", ">share", "rework"), list(rows3)[:most])
    _costs(page, found)
    _against(page, found, most)


def _costs(page: Console, found: Summary) -> None:
    for spread in found.costs:
        given = "something is given up" if spread.given_up else "nothing is given up"
        heading(page, "Cost", f"of the {cases(spread.cases)} where {given}, {spread.currency}")
        amounts = ((words.money(end, spread.digits) for end in ends) for ends in (spread.low, spread.high))
        table(page, ("", ">low end", ">high end"), zip(QUANTILES, *amounts, strict=True))


def _against(page: Console, found: Summary, most: int | None) -> None:
    """What stands in the way, from the outright closed to what nobody knew."""
    if found.lacks:
        heading(page, "What had to give", "where a case fits only so; amounts by which it was missed")
        rows = ((f"{x.cases:,}", share(x.cases, found), *_amounts(x), rule(x.rule)) for x in found.lacks)
        table(page, (">cases", ">share", ">half", ">most", "rule"), list(rows)[:most])
    if found.reasons:
        heading(page, "What rules options out", "one option: an attachment at a site")
        rows5 = ((f"{r.options:,}", f"{r.cases:,}", rule(r.reason), r.attachments[0]) for r in found.reasons)
        table(page, (">options", ">cases", "reason", "most of all"), list(rows5)[:most])
    if found.unknowns:
        heading(page, "What was not known", "and a plan hangs on it")
        rows4 = (
            (f"{u.cases:,}", share(u.cases, found), f"{u.questions:,}", words.quantity(u.of)) for u in found.unknowns
        )
        table(page, (">cases", ">share", ">questions", "to measure or ask"), list(rows4)[:most])


def share(count: int, found: Summary) -> str:
    """A count as a share of all cases."""
    return f"{count / found.cases:.1%}"


def _amounts(lack: Lack) -> tuple[str, str]:
    """Half of the cases miss by no more than the first."""
    if lack.unit is None:
        return "", ""
    return _amount(lack, lack.median), _amount(lack, lack.most)


def _amount(lack: Lack, amount: float) -> str:
    if lack.currency is not None and lack.digits is not None:
        return f"{words.money(round(amount), lack.digits)} {lack.currency}"
    return f"{amount:.0%}" if lack.unit == "share" else f"{amount:.2f} {lack.unit}"
