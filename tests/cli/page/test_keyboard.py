"""The page by keyboard alone: nothing but Tab, Enter, Space, arrows and letters; nobody loses his place."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from catalogue.yaml_text import parse_yaml
from solver.case.reading import read_case
from tests.cli.page.browser import ROOT, Server, opened, serving, settled
from tests.cli.page.cases import TEXT
from tests.solver.scan.of_case import scan_of
from tests.test_scanned_examples import stl

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

DEMO = ROOT / "docs" / "examples" / "two-angled-segments.yaml"
MOST_TABS = 80
FOCUS_IS_SEEN = """() => {
  const at = document.activeElement, box = at.getBoundingClientRect();
  const there = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return getComputedStyle(at).outlineStyle === 'solid' && (at === there || at.contains(there));
}"""
LISTEN = """() => {
  window.heard = [];
  const hear = (changes) => changes.forEach(({target}) => {
    const near = target.closest ? target : target.parentElement;
    const region = near?.closest('#scanning [role=status], #scanning [role=alert]');
    if (region && region.textContent) window.heard.push(region.textContent);
  });
  new MutationObserver(hear).observe(document.body, {subtree: true, childList: true, characterData: true});
}"""


def tab_to(page: Page, selector: str) -> None:
    """Tab until there; every stop of a walk must be reached so."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            return
    pytest.fail(f"{selector} is not reached with Tab")


def at(page: Page) -> str:
    """Where the keyboard is: the id, or what the element is to the scan form or does."""
    found = page.evaluate("(({id, dataset}) => id || dataset.scan || dataset.show || '')(document.activeElement)")
    return str(found)


def case_text(page: Page) -> str:
    return str(page.evaluate("fetch('/case.yaml').then(found => found.text())"))


@pytest.fixture(scope="module")
def scan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Of the example: round bar of 1.8 mm over three supports."""
    pytest.importorskip("trimesh", reason="the extra `scan` is not installed")
    path = tmp_path_factory.mktemp("scan") / "bar.stl"
    path.write_bytes(stl(scan_of(read_case(parse_yaml(DEMO.read_text(), "demo")))))
    return path


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    with serving(path) as started:
        yield started


def choosing(page: Page, scan: Path) -> None:
    """The chooser of the system is no part of the page: where one is opened, it gives the scan. To be said early."""
    page.on("filechooser", lambda chooser: chooser.set_files(scan))


def open_the_chooser(page: Page) -> None:
    page.keyboard.press("Enter")
    page.wait_for_selector("#scan-file:valid")


def test_the_keyboard_alone_suffices_and_the_drawing_can_be_pointed_at(browser: Browser, server: Server) -> None:
    """From the top: to the sites with tab, along them with arrows, into a figure, typed, undone."""
    page = opened(browser, server)
    settled(page)
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "site":
            break
    page.keyboard.press("ArrowRight")
    assert "S1" == page.evaluate("document.activeElement.value")
    assert page.locator("#card-S1").is_visible()
    page.locator("#drawing [data-of=S2]").first.click(force=True)
    assert page.locator("#card-S2").is_visible()
    page.locator('.sites input[value="S1"]').focus()
    page.keyboard.press("ArrowLeft")
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "f-segments.A.height_mm":
            break
    page.keyboard.press("Control+A")
    page.keyboard.type("2,25")
    settled(page)
    typed = page.evaluate("fetch('/case.yaml').then(found => found.text())")
    page.keyboard.press("Escape")
    page.locator('.sites input[value="A"]').focus()
    page.keyboard.press("Control+z")
    page.wait_for_selector('#saved:text-is("saved")')
    undone = page.evaluate("fetch('/case.yaml').then(found => found.text())")
    page.context.close()

    assert (TEXT.replace("height_mm: 1.8", "height_mm: 2.25"), TEXT) == (typed, undone)


def test_a_scan_fills_the_open_case_by_keyboard_alone(browser: Browser, tmp_path: Path, scan: Path) -> None:
    """Every stop shows its focus; that it is measured is told at once, and what was measured when it is done."""
    path = tmp_path / "case.yaml"
    path.write_text(DEMO.read_text().replace("width_mm: 1.8", "width_mm: unknown"))
    stops = []
    with serving(path) as server:
        page = opened(browser, server)
        choosing(page, scan)
        settled(page)
        page.evaluate(LISTEN)

        def stop_at(selector: str) -> None:
            tab_to(page, selector)
            stops.append((at(page), page.evaluate(FOCUS_IS_SEEN)))

        stop_at("#scanning > summary")
        page.keyboard.press("Enter")
        stop_at("#scan-file")
        open_the_chooser(page)
        stop_at("#scan-units")
        page.keyboard.press("ArrowDown")
        stop_at("#scan-trueness")
        page.keyboard.type("0,02")
        stop_at('[data-scan="go"]')
        page.keyboard.press("Space")
        page.wait_for_selector("#scan-told li")
        settled(page)
        stayed, units, heard = at(page), page.locator("#scan-units").input_value(), page.evaluate("window.heard")
        filled = read_case(parse_yaml(case_text(page), "filled"))
        page.keyboard.press("Control+z")
        settled(page)
        undone = case_text(page)
        page.context.close()

    places = ["scanning-head", "scan-file", "scan-units", "scan-trueness", "go"]
    assert [(place, True) for place in places] == stops
    assert ("go", "mm") == (stayed, units)
    assert "Being measured" == heard[0]
    assert "A measured: bar section, bar width" in heard[-1]
    assert all(1.8 == pytest.approx(one.width_mm.value, abs=0.02) for one in filled.segments.values())
    assert path.read_text() == undone


def test_a_scan_is_begun_with_by_keyboard_alone(browser: Browser, tmp_path: Path, scan: Path) -> None:
    with serving(tmp_path / "untitled.yaml") as server:
        page = opened(browser, server)
        choosing(page, scan)
        tab_to(page, "#b-title")
        tab_to(page, "#scan-file")
        open_the_chooser(page)
        tab_to(page, "#scan-arch")
        tab_to(page, '[data-scan="go"]')
        page.keyboard.press("Enter")
        page.wait_for_selector("#cards .card")
        settled(page)
        begun = read_case(parse_yaml(case_text(page), "begun"))
        page.context.close()

    assert ("lower", 3, 2) == (begun.arch, len(begun.supports), len(begun.segments))


def test_the_measuring_of_a_scan_is_stopped_by_keyboard_alone(browser: Browser, server: Server, scan: Path) -> None:
    """Without a file the way leads to it; Stop comes after the button, tells it, and gives the place back."""
    page = opened(browser, server)
    choosing(page, scan)
    settled(page)
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/scan?*", hold)
    tab_to(page, "#scanning > summary")
    page.keyboard.press("Space")
    tab_to(page, '[data-scan="go"]')
    page.keyboard.press("Enter")
    sent_to = at(page)
    open_the_chooser(page)
    tab_to(page, '[data-scan="go"]')
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")  # a second press is none
    page.keyboard.press("Tab")
    on_the_way = at(page)
    with page.expect_request("**/stop") as stopped:
        page.keyboard.press("Enter")
    stopped.value.response()
    meant = json.loads(stopped.value.post_data or "{}")["job"]
    facts = page.evaluate("fetch('/state').then(found => found.json())")
    held[0].fulfill(json=facts | {"problem": "stopped", "advice": "nothing was changed"})
    page.wait_for_selector("#scan-problem:not(:empty)")
    told, back = page.locator("#scan-problem").inner_text(), at(page)
    page.context.close()

    assert ("scan-file", "stop", "go") == (sent_to, on_the_way, back)
    assert (1, "scan") == (len(held), meant)
    assert "Stopped; nothing was changed." == told


def test_nobody_loses_his_place_when_what_he_is_at_is_drawn_anew(browser: Browser, server: Server) -> None:
    """Where a thing has gone the way goes on at the chosen site."""
    page = opened(browser, server)
    settled(page)
    after: dict[str, str] = {}

    def pressed(name: str, selector: str, key: str) -> None:
        page.locator(selector).focus()
        page.keyboard.press(key)
        settled(page)
        after[name] = at(page)

    page.locator("#put-A").select_option(index=1)
    settled(page)
    pressed("the other drawing", '[data-show="hand"]', "Space")
    pressed("undo, the last there is", "#undo", "Enter")
    pressed("redo", '.sites input[value="A"]', "Control+y")
    page.evaluate("document.getElementById('adding').open = true")
    page.fill("#supports-place", "31")
    pressed("a support added", "#supports-add", "Enter")
    pressed("and taken out", "#remove-S3", "Enter")
    page.context.close()

    assert {
        "the other drawing": "hand",
        "undo, the last there is": "undo",
        "redo": "site-A",
        "a support added": "supports-add",
        "and taken out": "site-A",
    } == after


def test_reworks_are_chosen_by_hand_and_their_consequences_shown(browser: Browser, server: Server) -> None:
    """Arrow by arrow: as fits best, none, a rework. Another count keeps it, another attachment does not."""
    lines = []
    page = opened(browser, server)
    settled(page)

    def chosen() -> None:
        settled(page)
        lines.append(parse_yaml(case_text(page), "case").data["mix"]["A"])

    page.locator("#put-A").select_option("clip-round-metal-5")
    chosen()
    offered = page.locator("#way-A").inner_text()
    tab_to(page, "#way-A")
    page.keyboard.press("ArrowDown")
    chosen()
    without = page.locator("#hand").inner_text()
    page.keyboard.press("ArrowDown")
    chosen()
    stays, rework = at(page), page.locator("#hand .mix li").inner_text()
    page.locator("#count-A").select_option("2")
    chosen()
    page.locator("#put-A").select_option("clip-round-metal-8")
    chosen()
    page.context.close()

    assert [
        "clip-round-metal-5",
        "clip-round-metal-5 + none",
        "clip-round-metal-5 + deepen-undercut",
        "clip-round-metal-5 x2 + deepen-undercut",
        "clip-round-metal-8 x2",
    ] == lines
    assert offered.startswith("as fits best\nno rework, ")
    assert "Hangs on: A: undercut" in without
    assert ("way-A", True) == (stays, "; Deepen the undercut of the bar" in rework)
