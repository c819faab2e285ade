"""`regrip stock`: what to buy, what to have, and booking what came in."""

from __future__ import annotations

from cli.commands.lazy import Entry, LazyGroup

TABLE = {
    "order": Entry("order", "what to buy for several cases, at least cost together"),
    "receive": Entry("receive", "book an order that came in into the stock file"),
    "forecast": Entry("forecast", "which parts will be used, and how many to have"),
}

command = LazyGroup(
    table=TABLE,
    help="""Parts for many cases: what to buy, what came in, how many to have.

    \b
    regrip stock order a.yaml b.yaml --stock stock.yaml --json > order.json
    regrip stock receive order.json --stock stock.yaml
    regrip stock forecast outlook.yaml --months 3 --service 95%
    """,
)
