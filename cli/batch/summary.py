"""What the results of a batch have in common, asked of them in SQL."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SHARES = (0.0, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0)
"""The quantiles of cost that are told: each is the cost of a case that was there, none is interpolated."""


@dataclass(frozen=True, slots=True)
class Used:
    """An attachment of the plans: in how many cases, and how many pieces."""

    attachment: str
    cases: int
    pieces: int


@dataclass(frozen=True, slots=True)
class Rework:
    """A rework of the plans beyond the steps that go with an attachment."""

    rework: str
    cases: int


@dataclass(frozen=True, slots=True)
class Reason:
    """What rules options out: how many (an attachment at a site is one), in how many cases, and which most."""

    reason: str
    options: int
    cases: int
    attachments: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """Cost of the plans of one currency, minor units: `low` and `high` end of the bands at `SHARES`."""

    currency: str
    digits: int
    given_up: bool
    cases: int
    low: tuple[int, ...]
    high: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Lack:
    """What had to give: a rule, in how many cases, and the amounts (for `money`, minor units of `currency`)."""

    rule: str
    cases: int
    median: float
    most: float
    unit: str | None
    currency: str | None
    digits: int | None


@dataclass(frozen=True, slots=True)
class Unknown:
    """What a plan hangs on and nobody knew: in how many cases, in how many questions."""

    of: str
    cases: int
    questions: int


@dataclass(frozen=True, slots=True)
class Summary:
    """The whole, every list with the most frequent first."""

    cases: int
    outcomes: dict[str, int]
    attachments: tuple[Used, ...]
    reworks: tuple[Rework, ...]
    reasons: tuple[Reason, ...]
    costs: tuple[Spread, ...]
    lacks: tuple[Lack, ...]
    unknowns: tuple[Unknown, ...]
    catalogues: int
    """From how many catalogues and versions the rows come; more than one cannot be compared well."""


def summary_of(database: DuckDBPyConnection) -> Summary:
    """Ask the view `results`."""

    def ask(query: str, *values: object) -> list[tuple[Any, ...]]:
        return database.execute(query, values).fetchall()

    return Summary(
        cases=int(ask("SELECT count(*) FROM results")[0][0]),
        outcomes=dict(ask(_OUTCOMES)),
        attachments=tuple(Used(*row) for row in ask(_ATTACHMENTS)),
        reworks=tuple(Rework(*row) for row in ask(_REWORKS)),
        reasons=tuple(Reason(reason, options, n, tuple(most)) for reason, options, n, most in ask(_REASONS)),
        costs=tuple(_spread(*row) for row in ask(_COSTS, SHARES, SHARES)),
        lacks=tuple(Lack(*row) for row in ask(_LACKS)),
        unknowns=tuple(Unknown(*row) for row in ask(_UNKNOWNS)),
        catalogues=int(ask("SELECT count(DISTINCT (catalogue, version)) FROM results")[0][0]),
    )


def _spread(currency: str, digits: int, given_up: bool, cases: int, low: list[int], high: list[int]) -> Spread:
    return Spread(currency, digits, given_up, cases, tuple(low), tuple(high))


def costs_of(database: DuckDBPyConnection, currency: str) -> list[int]:
    """The high ends of all plans that give nothing up, minor units."""
    found = database.execute(
        "SELECT cost_high FROM results WHERE currency = ? AND cost_high IS NOT NULL AND len(given_up) = 0 ORDER BY 1",
        [currency],
    )
    return [int(row[0]) for row in found.fetchall()]


_OUTCOMES = "SELECT outcome, count(*) FROM results GROUP BY ALL ORDER BY 2 DESC, 1"

_ATTACHMENTS = """
SELECT one.attachment, count(DISTINCT file), sum(one.count)::BIGINT
FROM (SELECT file, unnest(mix) AS one FROM results)
GROUP BY ALL ORDER BY 2 DESC, 1
"""

_REWORKS = """
SELECT rework, count(DISTINCT file)
FROM (SELECT file, unnest(one.reworks) AS rework FROM (SELECT file, unnest(mix) AS one FROM results))
GROUP BY ALL ORDER BY 2 DESC, 1
"""

_REASONS = """
WITH closed AS (SELECT file, one.* FROM (SELECT file, unnest(ruled_out) AS one FROM results)),
     ranked AS (SELECT reason, attachment, sum(sites) AS sites FROM closed GROUP BY ALL)
SELECT reason, sum(sites)::BIGINT, count(DISTINCT file),
       (SELECT list(attachment ORDER BY sites DESC, attachment)[:3] FROM ranked WHERE ranked.reason = closed.reason)
FROM closed GROUP BY reason ORDER BY 2 DESC, 1
"""

_COSTS = """
SELECT currency, digits, len(given_up) > 0 AS gives, count(*),
       quantile_disc(cost_low, ?::DOUBLE[]), quantile_disc(cost_high, ?::DOUBLE[])
FROM results WHERE cost_high IS NOT NULL
GROUP BY currency, digits, gives ORDER BY 4 DESC, currency, gives
"""

_LACKS = """
WITH given AS (SELECT file, currency, digits, one.* FROM
               (SELECT file, currency, digits, unnest(given_up) AS one FROM results))
SELECT rule, count(DISTINCT file), quantile_disc(amount, 0.5), max(amount), unit,
       CASE unit WHEN 'money' THEN currency END AS paid, CASE unit WHEN 'money' THEN digits END AS decimals
FROM given GROUP BY rule, unit, paid, decimals ORDER BY 2 DESC, rule, paid
"""

_UNKNOWNS = """
SELECT one.of, count(DISTINCT file), count(*)
FROM (SELECT file, unnest(questions) AS one FROM results)
GROUP BY ALL ORDER BY 2 DESC, 1
"""
