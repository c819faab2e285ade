"""`regrip batch`: thousands of cases planned, what they have in common, and invented ones to try it on."""

from __future__ import annotations

from cli.commands.lazy import Entry, LazyGroup

TABLE = {
    "run": Entry("batch_run", "thousands of cases planned, into one file of results"),
    "summary": Entry("summary", "what the results of a batch have in common"),
    "sample": Entry("sample", "invented cases at random, for trials"),
}

command = LazyGroup(
    table=TABLE,
    usual="run",
    help="""Many cases at once. `regrip batch CASES` is `regrip batch run CASES`.

    \b
    regrip batch sample 20 -o trial
    regrip batch run trial -o results.csv
    regrip batch summary results.csv
    """,
)
