"""The page in a browser, as a person uses it: by keyboard, in two tabs, after a power cut, with a screen reader."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from catalogue.yaml_text import parse_yaml
from cli.page.recovery import kept, recovery_path
from tests.cli.page.browser import ROOT, Server, browser, opened, serving, settled
from tests.cli.page.cases import TEXT

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DEMO = ROOT / "docs" / "examples" / "two-angled-segments.yaml"


@pytest.fixture(scope="module")
def chrome() -> Iterator[Browser]:
    with browser() as started:
        yield started


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    return path


def choose(page: Page, site: str) -> None:
    page.locator(f'.sites input[value="{site}"]').check()


def fill(page: Page, at: str, value: str) -> None:
    """As a person does: open the part where it is closed, and type."""
    page.evaluate("at => document.getElementById('f-' + at).closest('details')?.setAttribute('open', '')", at)
    field = page.locator(f'[id="f-{at}"]')
    if field.evaluate("one => one.tagName") == "SELECT":
        field.select_option(value)
    elif field.get_attribute("type") == "checkbox":
        field.set_checked(value == "yes")
    else:
        field.fill(value)


def words(value: Any) -> str:
    """A value of the demo as a person writes it; decimals with a comma."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(map(words, value))
    return str(value).replace(".", ",") if isinstance(value, float) else str(value)


def test_the_demo_filled_in_from_nothing_is_answered_as_by_the_command(chrome: Browser, tmp_path: Path) -> None:
    """Every figure typed into the page gives the same file, to a reader, and the same answer as the example."""
    demo = parse_yaml(DEMO.read_text(), "demo").data
    with serving(tmp_path / "untitled.yaml") as server:
        page = opened(chrome, server)
        page.fill("#b-title", demo["case"])
        page.fill("#b-teeth", "43 31 33")
        page.uncheck("#b-joined")
        page.fill("#b-bench", "50")
        page.fill("#b-chair", "120")
        page.get_by_role("button", name="Begin", exact=True).click()
        page.wait_for_selector("#cards .card")
        for name, support in demo["supports"].items():
            choose(page, name)
            fill(page, f"supports.{name}.place", words(support["at_mm"]))
        page.evaluate("document.getElementById('adding').setAttribute('open', '')")
        for name, segment in demo["segments"].items():
            form = page.locator('form.add[data-group="segments"]')
            form.locator("[name=name]").fill(name)
            form.locator("[name=from]").select_option(segment["between"][0])
            form.locator("[name=to]").select_option(segment["between"][1])
            form.get_by_role("button").click()
            page.wait_for_selector(f"#card-{name}:not([hidden])")
            for key in segment.keys() - {"between"}:
                fill(page, f"segments.{name}.{key}", words(segment[key]))
            page.locator(f"#put-{name}").select_option(demo["mix"][name])
        for part in ("room", "patient", "wanted"):
            for key, value in demo[part].items():
                fill(page, f"{part}.{key}", words(value))
        fill(page, "about", demo["about"])
        settled(page)
        shown = page.locator("#verdict").inner_text()
        page.get_by_role("button", name="Save", exact=True).click()
        page.fill("#save-name", "demo.yaml")
        page.locator("#naming button.main").click()
        page.wait_for_selector('#saved:text-is("saved")')
        answer = page.evaluate("fetch('/answer.json').then(found => found.json())")
        page.context.close()

    written = parse_yaml((tmp_path / "demo.yaml").read_text(), "written").data
    assert {key: value for key, value in demo.items() if key != "invented"} == written
    assert planned(tmp_path / "demo.yaml") == answer
    assert "Fits" in shown


def planned(path: Path) -> Any:
    """`regrip plan --json` in a process of its own, as the page has its own."""
    import subprocess  # noqa: PLC0415
    import sys  # noqa: PLC0415

    command = [sys.executable, "-m", "cli.main", "plan", str(path), "--json"]
    return json.loads(subprocess.run(command, capture_output=True, cwd=ROOT, check=False).stdout)
