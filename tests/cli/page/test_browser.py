"""The page in a browser, as a person uses it: in two tabs, after a power cut, with a screen reader."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from catalogue.yaml_text import parse_yaml
from cli.page.recovery import kept, recovery_path
from solver.read_case import read_case
from tests.cli.browsing import violations
from tests.cli.page.browser import PATIENCE_MS, ROOT, Server, opened, serving, settled
from tests.cli.page.cases import TEXT
from tests.solver.scan.of_case import scan_of
from tests.test_scanned_examples import stl

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DEMO = ROOT / "docs" / "examples" / "two-angled-segments.yaml"


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
    command = [sys.executable, "-m", "cli.main", "plan", str(path), "--json"]
    return json.loads(subprocess.run(command, capture_output=True, cwd=ROOT, check=False).stdout)


@pytest.fixture(scope="module")
def served(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for the tests that need no case of their own."""
    path = tmp_path_factory.mktemp("case") / "case.yaml"
    path.write_text(TEXT)
    with serving(path) as server:
        yield server


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
    page.goto(served.address.partition("?")[0] + "begin")
    found += violations_by_day_and_night(page)
    page.context.close()

    assert [] == found


def violations_by_day_and_night(page: Page) -> list[str]:
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found += [f"{scheme}: {one}" for one in violations(page)]
    return found


def deafen(page: Page) -> None:
    """The tab hears nothing of others: nothing it asked for is under way, and what it asks from now on is lost."""
    page.wait_for_selector("#worth[data-of]", state="attached")
    with page.expect_event("requestfailed"):  # one look at a time: none of before is left
        for path in ("state", "answer*"):
            page.route(f"**/{path}", lambda route: route.abort())


def test_what_another_tab_has_changed_is_shown_and_not_written_over(browser: Browser, served: Server) -> None:
    one = opened(browser, served)
    settled(one)
    two = one.context.new_page()
    two.goto(served.address.partition("?")[0])
    settled(two)
    deafen(two)
    one.locator('[id="f-segments.A.width_mm"]').fill("2")
    settled(one)
    two.locator('[id="f-segments.A.width_mm"]').press("Control+A")
    two.keyboard.type("3,25", delay=50)  # and typing on is no answer to what is asked
    notice = two.locator(".meanwhile")
    notice.wait_for()
    told = notice.locator("p").inner_text()
    stands = one.evaluate("fetch('/case.yaml').then(found => found.text())")
    two.unroute_all()
    two.get_by_role("button", name="Use 3,25", exact=True).click()
    settled(two)
    taken = two.evaluate("fetch('/case.yaml').then(found => found.text())")
    one.context.close()

    assert "Another tab has put 2 ± 0.05 here meanwhile." == told
    assert "width_mm: 2 +- 0.05" in stands
    assert "width_mm: 3.25 +- 0.05" in taken


def test_what_is_lost_on_the_way_is_sent_and_asked_again(browser: Browser, served: Server) -> None:
    """The first entry, the first plan, the first drawing and the first form asked for after it never arrive."""
    page = opened(browser, served)
    settled(page)
    before = page.locator('[id="f-segments.A.width_mm"]').input_value()
    for path in ("edit", "answer?job=plan", "answer?job=view*", "form"):
        page.route(f"**/{path}", lambda route: route.abort(), times=1)
    page.locator('[id="f-segments.A.width_mm"]').fill("2,1")
    settled(page)
    page.get_by_role("button", name="Undo").click()
    settled(page)
    shown = page.locator('[id="f-segments.A.width_mm"]').input_value()
    page.context.close()

    assert before == shown


def test_an_entry_that_is_never_answered_is_sent_again(browser: Browser, served: Server) -> None:
    """Neither answered nor refused: its time is up, here at once, and it counts as lost."""
    page = opened(browser, served)
    settled(page)
    its_time_was_up = page.evaluate("""() => {
      const timeout = AbortSignal.timeout.bind(AbortSignal);
      AbortSignal.timeout = () => {
        AbortSignal.timeout = timeout;
        return AbortSignal.abort(new DOMException('late', 'TimeoutError'));
      };
      const field = document.getElementById('f-segments.A.width_mm');
      field.value = '2,2';
      field.dispatchEvent(new InputEvent('input', {bubbles: true}));
      return AbortSignal.timeout === timeout;
    }""")
    settled(page)
    stands = page.evaluate("fetch('/case.yaml').then(found => found.text())")
    page.get_by_role("button", name="Undo").click()
    settled(page)
    page.context.close()

    assert its_time_was_up
    assert "width_mm: 2.2 +- 0.05" in stands


def test_an_entry_that_cannot_stand_stays_while_another_tab_works(browser: Browser, served: Server) -> None:
    """Its text, its problem and the caret stay, and the other tab's figure stands beside it."""
    from playwright.sync_api import expect  # noqa: PLC0415 - may be missing

    one = opened(browser, served)
    settled(one)
    two = one.context.new_page()
    two.goto(served.address.partition("?")[0])
    settled(two)
    width = two.locator('[id="f-segments.A.width_mm"]')
    width.fill("wide")
    two.locator('[id="f-segments.A.width_mm-problem"]').wait_for()
    one.locator('[id="f-segments.A.height_mm"]').fill("2,5")
    expect(two.locator('[id="f-segments.A.height_mm"]')).to_have_value("2.5", timeout=PATIENCE_MS)
    settled(two)
    two.keyboard.type("st")
    stays = width.input_value(), width.get_attribute("aria-invalid"), two.locator("#left-out").inner_text()
    one.context.close()

    assert ("widest", "true") == stays[:2]
    assert stays[2].startswith("One entry cannot stand")


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


def test_after_a_power_cut_the_work_is_there(browser: Browser, case: Path) -> None:
    from playwright.sync_api import expect  # noqa: PLC0415 - may be missing

    server = Server(case)
    page = opened(browser, server)
    settled(page)
    page.locator('[id="f-segments.A.width_mm"]').fill("2,5")
    settled(page)
    for _ in range(1000):  # it is written beside the answer, not before it
        if (left := kept(case)) and "2.5" in left.text:
            break
        page.wait_for_timeout(20)
    server.kill()
    page.context.close()
    with serving(case) as again:
        page = opened(browser, again)
        page.get_by_role("button", name="Take it up").click()
        expect(page.locator('[id="f-segments.A.width_mm"]')).to_have_value("2.5")
        page.keyboard.press("Control+s")
        page.wait_for_selector('#saved:text-is("saved")')
        page.context.close()

    assert TEXT.replace("1.8 +- 0.05", "2.5 +- 0.05") == case.read_text()
    assert not recovery_path(case).exists()
