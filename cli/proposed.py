"""The mix that a case proposes in its `mix:` lines."""

from __future__ import annotations

from catalogue.sheet import Finding, refuse
from cli.files import Desk
from solver.put import BadPut, Put, read_put


def proposed(desk: Desk) -> dict[str, Put]:
    """Every line read; a line that cannot be read is refused at its place in the file."""
    mix: dict[str, Put] = {}
    for site, text in desk.case.mix.items():
        try:
            mix[site] = read_put(text)
        except BadPut as error:
            refuse(desk.document, {("mix", site): Finding(error.problem, error.advice)})
    return mix
