"""An order on the screen or on paper: what to buy where, what comes from stock, who pays what, and the proof."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.rules import RuleWords
from solver.assess.assessment import Status
from solver.buying.order_file import OrderCase, OrderFile, OrderLine, Span
from solver.case.money import major
from solver.choose.plan import Answer
from solver.fit.candidate import Question

CSV_COLUMNS = (
    "order", "supplier", "part", "name", "pieces", "packs", "each_low", "each_high", "total_low", "total_high",
    "currency",
)  # fmt: skip


def show_order(page: Console, order: OrderFile) -> None:
    """The whole order."""
    page.print(Text(f"Order {order.order}", style="bold") + Text(f": {_summary(order)}", style="not bold"))
    for supplier in dict.fromkeys(line.supplier for line in order.lines):
        _supplier(page, order, supplier)
    if order.from_stock:
        heading(page, "From stock", "paid before, costs nothing here")
        bullets(page, (f"{count} x {part}" for part, count in order.from_stock.items()))
    if order.left_over:
        heading(page, "Left over from packs")
        bullets(page, (f"{count} x {part}" for part, count in order.left_over.items()))
    if order.substitutions:
        heading(page, "Fitted for another", "the catalogue judges both alike")
        bullets(page, (f"{s.by} for {s.planned}, {s.pieces} x" for s in order.substitutions))
    if order.cases:
        _payers(page, order)
        _asked(page, order)
    if order.not_ordered:
        heading(page, "Not ordered for")
        bullets(page, (_left_out(order, name, Status(status)) for name, status in order.not_ordered.items()))


def reasons(found: Answer) -> tuple[str, ...]:
    """What would have to give for a case that is left out, a sentence each."""
    if found.status is Status.NONE:
        return ("nothing that could be given up helps",)
    return tuple(RuleWords.of(found.problem).given_up(entry) for entry in (found.best.given_up if found.best else ()))


def _left_out(order: OrderFile, name: str, status: Status) -> str:
    return "; ".join((f"{name}: {words.STATUS[status]}", *order.reasons.get(name, ())))


def order_csv(order: OrderFile) -> str:
    """One row a line of the order, amounts in major units with a point."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(CSV_COLUMNS)
    for line in order.lines:
        amounts = (line.each.low, line.each.high, line.total.low, line.total.high)
        money = [str(major(amount, order.digits)) for amount in amounts]
        head = (order.order, line.supplier, line.part, line.name, line.pieces, line.packs)
        writer.writerow((*head, *money, order.currency))
    return out.getvalue()


def _summary(order: OrderFile) -> str:
    if not order.cases:
        known = Status.UNDECIDED.value not in order.not_ordered.values()
        return "nothing is ordered" + (", for no case fits as it is" if known else "")
    count = len(order.cases)
    cases = f"{count} case" + ("" if count == 1 else "s")
    proof = "proved least" if order.proof.outcome == "optimal" else "not proved least in the time given"
    return f"{cases}, goods and carriage {_money(order, order.invoice)} {order.currency}; {proof}"


def _supplier(page: Console, order: OrderFile, supplier: str) -> None:
    heading(page, f"From {supplier}")
    lines = [line for line in order.lines if line.supplier == supplier]
    columns = (">packs", ">of", "part", f">each, {order.currency}", ">together")
    table(page, columns, (_row(order, line) for line in lines))


def _row(order: OrderFile, line: OrderLine) -> tuple[str, ...]:
    if not line.part:
        return "", "", "carriage", "", _money(order, line.total)
    name = f"{line.part}: {line.name}"
    return str(line.packs), str(line.pieces), name, _money(order, line.each), _money(order, line.total)


def _payers(page: Console, order: OrderFile) -> None:
    heading(page, "Who pays what", order.currency)
    table(page, ("case", ">invoice", ">with work", ">alone"), (_payer(order, case) for case in order.cases))
    high = order.apart.high - order.total.high
    if high < 0:
        saved = f"Ordered apart it would be {words.money(-high, order.digits)} {order.currency} less at the high end."
    else:
        saved = f"Ordered together it is {words.money(high, order.digits)} {order.currency} less at the high end."
    bullets(page, [saved, *_remarks(order)] if len(order.cases) > 1 else list(_remarks(order)))


def _payer(order: OrderFile, case: OrderCase) -> tuple[str, ...]:
    return case.case, *(_money(order, span) for span in (case.invoice, case.pays, case.alone))


def _remarks(order: OrderFile) -> Iterator[str]:
    """Who takes another plan than its best, and who pays more than alone or than its cap."""
    for case in order.cases:
        if case.plan:
            mix = "; ".join(f"{site}: {label}" for site, label in case.mix.items())
            yield f"{case.case} takes its plan {case.plan + 1}, for the common order: {mix}"
        if case.pays.high > case.alone.high:
            more = words.money(case.pays.high - case.alone.high, order.digits)
            yield f"{case.case} pays {more} {order.currency} more than alone, where stock goes to the first named."
        if case.cap is not None and case.pays.high > case.cap:
            yield f"{case.case} pays more than its cap of {words.money(case.cap, order.digits)} {order.currency}."


def _asked(page: Console, order: OrderFile) -> None:
    asked = [
        f"{case.case}, {words.question(Question.read(question))}"
        for case in order.cases
        for question in case.questions
    ]
    if asked:
        heading(page, "Ask or measure before ordering")
        bullets(page, asked)


def _money(order: OrderFile, span: Span) -> str:
    return words.cost(span.cost, order.digits)
