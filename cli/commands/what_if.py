"""`regrip what-if`: other values, other limits, more hold, another way."""

from __future__ import annotations

from cli.commands.lazy import Entry, LazyGroup

TABLE = {
    "limits": Entry("give", "what to give up where nothing fits, or to pay less"),
    "values": Entry("vary", "a value of the case were another, or ran over a range"),
    "trade-off": Entry("trade", "more hold for more money: every mix worth choosing"),
    "ways": Entry("strategies", "keep the bar, take it off, a new bar, or nothing"),
}

command = LazyGroup(
    table=TABLE,
    help="""What if a limit, a value, the budget or the whole way were another.

    \b
    regrip what-if limits case.yaml
    regrip what-if values case.yaml --set segments.A.undercut_mm=0..0.6/0.1
    regrip what-if trade-off case.yaml --between cost,hold
    regrip what-if ways case.yaml
    """,
)
