"""The page in a browser, as a person uses it: a case from nothing, a bad entry, a scan, with a screen reader."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from catalogue.yaml_text import parse_yaml
from solver.case.reading import read_case
from tests.cli.browsing import violations
from tests.cli.page.browser import ROOT, Server, opened, serving, settled
from tests.cli.page.cases import TEXT
from tests.solver.scan.of_case import scan_of
from tests.test_scanned_examples import stl

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DEMO = ROOT / "docs" / "examples" / "two-angled-segments.yaml"


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


def test_the_demo_filled_in_from_nothing_is_answered_as_by_the_command(browser: Browser, tmp_path: Path) -> None:
    """Every figure typed into the page gives the same file, to a reader, and the same answer as the example."""
    demo = parse_yaml(DEMO.read_text(), "demo").data
    with serving(tmp_path / "untitled.yaml") as server:
        page = opened(browser, server)
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
        for part in ("room", "bar", "denture", "bite", "patient", "wanted"):
            for key, value in demo.get(part, {}).items():
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
    assert "Fits" in shown
    command = planned(tmp_path / "demo.yaml")
    if not all(one["sensitivity"]["complete"] for one in (command, answer)):  # as far as each came in its ten seconds
        del command["sensitivity"], answer["sensitivity"]
    assert command == answer


def planned(path: Path) -> Any:
    """`regrip plan --json` in a process of its own, as the page has its own."""
    command = [sys.executable, "-m", "cli.main", "plan", str(path), "--json"]
    return json.loads(subprocess.run(command, capture_output=True, cwd=ROOT, check=False).stdout)


def test_a_bad_entry_is_told_at_its_field_and_the_last_good_one_stands(browser: Browser, served: Server) -> None:
    page = opened(browser, served)
    field = page.locator('[id="f-segments.A.width_mm"]')
    choose(page, "A")
    field.fill("18 mm")
    told = page.locator('[id="f-segments.A.width_mm-problem"]')
    told.wait_for()
    text, invalid = told.inner_text(), field.get_attribute("aria-invalid")
    named = "f-segments.A.width_mm-problem" in str(field.get_attribute("aria-describedby"))
    kept_text = page.evaluate("fetch('/case.yaml').then(found => found.text())")
    left_out = page.locator("#left-out").inner_text()
    field.fill("1,8")
    told.wait_for(state="hidden")
    page.locator('[id="f-segments.A.width_mm-error"]').fill("0,05")
    page.wait_for_selector('#saved:text-is("saved")')
    page.context.close()

    assert "'18 mm' is more than a number; write the number alone, without unit or spaces." == text.lower()
    assert ("true", True, TEXT) == (invalid, named, kept_text)
    assert "One entry cannot stand and is left out of this answer; see the marked field." == left_out


def test_what_the_choice_hangs_on_is_told_of_the_newest_state_under_the_verdict(
    browser: Browser, tmp_path: Path
) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    with serving(path) as server:
        page = opened(browser, server)
        page.wait_for_selector("#resting[data-of]")
        fill(page, "money.cap", "395")
        page.wait_for_selector("#resting:not([data-of])")
        told_meanwhile = page.locator("#resting").inner_text()
        settled(page)
        page.wait_for_selector(f'#resting[data-of="{page.get_attribute("#answer", "data-of")}"]')
        told = page.locator("#resting").inner_text()
        hangs = page.evaluate("fetch('/answer.json').then(found => found.json())")["sensitivity"]["hangs_on"]
        page.evaluate("document.getElementById('hangs').closest('details').open = true")
        listed = page.locator("#hangs li").count()
        page.context.close()

    assert "What this choice hangs on is being worked out …" == told_meanwhile
    assert "This choice hangs on figures that nobody stands behind" in told
    assert f"{hangs['invented']} invented" in told
    assert listed > 0


def test_axe_finds_nothing_to_complain_of(browser: Browser, served: Server) -> None:
    """axe-core over the page with every part open, in two widths, and over the beginning; by day and by night."""
    page = opened(browser, served, bypass_csp=True, viewport={"width": 1400, "height": 900})
    settled(page)
    page.evaluate("for (const part of document.querySelectorAll('details')) part.open = true")
    page.wait_for_selector("#compare table")
    page.wait_for_selector("#ways table")
    found = violations_by_day_and_night(page)
    page.set_viewport_size({"width": 390, "height": 800})
    found += violations_by_day_and_night(page)
    page.goto(served.address + "begin")
    found += violations_by_day_and_night(page)
    page.context.close()

    assert [] == found


def violations_by_day_and_night(page: Page) -> list[str]:
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found += [f"{scheme}: {one}" for one in violations(page)]
    return found


def test_a_scan_is_measured_into_the_open_case(browser: Browser, tmp_path: Path) -> None:
    """Chosen from the disk, measured, told, shown in the fields, and undone at once."""
    pytest.importorskip("trimesh", reason="the extra `scan` is not installed")
    path, scan = tmp_path / "case.yaml", tmp_path / "bar.stl"
    path.write_text(DEMO.read_text().replace("width_mm: 1.8", "width_mm: unknown"))
    scan.write_bytes(stl(scan_of(read_case(parse_yaml(DEMO.read_text(), "demo")))))
    with serving(path) as server:
        page = opened(browser, server)
        width = page.locator('[id="f-segments.A.width_mm"]')
        before = width.input_value()
        page.get_by_text("Measure the bar in a scan").click()
        page.locator("#scan-file").set_input_files(scan)
        page.locator("#scan-trueness").fill("0,02")
        page.get_by_role("button", name="Measure it").click()
        page.wait_for_selector("#scan-told li")
        settled(page)
        told, measured = page.locator("#scan-told").inner_text(), float(width.input_value())
        page.get_by_role("button", name="Undo").click()
        settled(page)
        undone = width.input_value()
        page.context.close()

    assert ("", "") == (before, undone)
    assert 1.8 == pytest.approx(measured, abs=0.02)
    assert "A measured: bar section, bar width" in told
