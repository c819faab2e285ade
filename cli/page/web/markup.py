"""The page and its forms as markup."""

from __future__ import annotations

import importlib.util
from collections.abc import Mapping

from cli.files.examples import cases
from cli.page.document.document import OpenCase
from cli.page.form.form import Group, cards, strip
from cli.page.form.new_site import next_name
from cli.page.session import Sitting
from cli.page.start import cases_beside
from cli.page.web.scan_routes import SUFFIXES, UNITS, can_scan
from cli.page.work.fragments import fragment
from cli.report.page import PAPERS


def whole(sitting: Sitting, opened: OpenCase) -> str:
    """The page of an open case."""
    return fragment(
        "page",
        sitting=sitting,
        opened=opened,
        facts=sitting.facts(),
        forms=forms(opened),
        papers=PAPERS,
        pdf=importlib.util.find_spec("weasyprint") is not None,
        left_behind=sitting.shelf.left_behind,
        scans=SUFFIXES if can_scan() else (),
        units=UNITS,
    )


def beginning(sitting: Sitting) -> str:
    """The page where a case is chosen or begun."""
    return fragment(
        "begin",
        sitting=sitting,
        facts=sitting.facts(),
        examples=[(path.stem, path.stem.replace("-", " ")) for path in cases()],
        beside=cases_beside(sitting.shelf.path),
        currency=sitting.catalogue.currency,
        scans=SUFFIXES if can_scan() else (),
        units=UNITS,
    )


def forms(opened: OpenCase) -> dict[str, str]:
    """The strip, the cards of the sites, and the choice among them."""
    figures, currency = opened.figures, opened.case.money.currency
    groups = strip(opened.data, figures)
    sites = cards(opened.data, opened.catalogue, figures)
    return {
        "strip": fragment("strip", groups=groups, essences=_essences(groups), currency=currency),
        "cards": fragment("cards", cards=sites, currency=currency),
        "sites": fragment("sites", cards=sites),
        "adding": fragment("adding", case=opened.case, names={g: next_name(g, opened.case) for g in _ADDED}),
        "title": fragment("title", case=opened.case),
    }


_ADDED = ("supports", "segments", "ends")


def essences(opened: OpenCase) -> dict[str, str]:
    """What each part of the strip says when it is closed."""
    return _essences(strip(opened.data, opened.figures)) | {"title": opened.case.case}


def _essences(groups: tuple[Group, ...]) -> dict[str, str]:
    return {group.key: " · ".join(_essence(group)) for group in groups}


_SHORT: Mapping[str, str] = {
    "patient.hand": "hand", "patient.scans_expected": "scans", "patient.bruxism": "grinds",
    "patient.sensitivities": "metals", "money.currency": "", "money.cap": "at most", "money.bench_per_hour": "bench",
    "money.chair_per_hour": "chair", "allowed.send_out": "send out", "allowed.weld": "weld",
    "allowed.cut_bar": "cut", "allowed.bar_off": "bar off", "allowed.new_bar": "new bar", "room.space_mm": "space",
    "room.top_mm": "bar", "room.room_mm": "room", "room.breadth_mm": "breadth", "denture.settling_mm": "settling",
    "bar.fixing": "", "bar.screws": "screws", "bite.force_n": "bite", "wanted.hold_n": "hold",
    "wanted.most_n": "at most", "arch": "", "opposing": "against",
}  # fmt: skip


def _essence(group: Group) -> list[str]:
    """Only what is known, of work only what may be done, and of severity only what is not our own."""
    if group.key == "severity":
        return [f"{field.label.lower()} {field.shown.value}" for field in group.fields if field.given] or [
            "our order"
        ]
    told = []
    for field in group.fields:
        if field.at not in _SHORT or not field.given:
            continue
        name, value = _SHORT[field.at], field.shown.value
        if field.kind == "tick":
            told += [name] if value == "yes" else []
        else:
            word = dict(field.choices).get(value, value)
            told.append(f"{name} {word}".strip())
    return told or ["nothing known yet"]
