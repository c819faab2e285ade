"""The mix that a case proposes in its `mix:` lines, and how a mix is checked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from catalogue.sheet import Finding, refuse
from cli.exit import BadInput
from cli.files.desk import Desk
from solver.choose.check import BarOnAndOff, Checked, check
from solver.fit.bench import NoSuchSite
from solver.fit.proposal import BadPut, Put, read_put


def proposed(desk: Desk) -> dict[str, Put]:
    """Every line read; raises `InputError` for one that cannot be, at its place in the file."""
    mix: dict[str, Put] = {}
    for site, text in desk.case.mix.items():
        try:
            mix[site] = read_put(text)
        except BadPut as error:
            refuse(desk.document, {("mix", site): Finding(error.problem, error.advice)})
    return mix


def put_by_hand(texts: Iterable[str]) -> dict[str, Put]:
    """Every `SITE=ATTACHMENT` of the command line; raises `BadInput` for one that cannot be read."""
    return dict(_from_option(text) for text in texts)


def checked(desk: Desk, mix: Mapping[str, Put]) -> Checked:
    """The mix judged; raises `BadInput` for one that cannot be put there."""
    try:
        return check(desk.case, desk.catalogue, mix)
    except BarOnAndOff:
        raise BadInput(
            "the mix needs the bar in the mouth and off it", "use supports alone, or segments and ends"
        ) from None
    except (BadPut, NoSuchSite) as error:
        raise BadInput(error.problem, error.advice) from None


def _from_option(text: str) -> tuple[str, Put]:
    site, equals, put = text.partition("=")
    if not equals:
        raise BadInput(
            f"'{text}' names no site", "write `--put SITE=ATTACHMENT`, e.g. `--put A=clip-round-metal-5x2`"
        )
    try:
        return site.strip(), read_put(put)
    except BadPut as error:
        raise BadInput(error.problem, error.advice) from None
