"""What another tab, a message that is lost and a power cut do to the work in the browser: none of it is lost."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from cli.page.document.recovery import kept, recovery_path
from tests.cli.page.browser import PATIENCE_MS, Server, opened, serving, settled
from tests.cli.page.cases import TEXT

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


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
    two.goto(served.address)
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
    two.goto(served.address)
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


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux sets the limits of another process")
def test_what_a_full_disk_does_not_take_is_told_on_the_page_and_at_the_end(browser: Browser, case: Path) -> None:
    """No file may grow beyond 100 bytes, as where the disk has filled up while the page was open."""
    import resource  # noqa: PLC0415 - not on every system

    server = Server(case, stderr=subprocess.PIPE)
    page = opened(browser, server)
    settled(page)
    resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE, (100, 100))
    page.locator('[id="f-segments.A.width_mm"]').fill("2,5")
    page.wait_for_selector("#unkept:not([hidden])")
    notice = page.locator("#unkept").inner_text()
    page.keyboard.press("Control+s")
    page.wait_for_selector("#save-problem:not(:empty)")
    told = page.locator("#save-problem").inner_text()
    server.process.send_signal(signal.SIGINT)
    _, farewell = server.process.communicate(timeout=60)
    page.context.close()

    lost = f"regrip: what is not saved of {case} is lost, it could not be kept: file too large\n"
    assert (2, lost) == (server.process.returncode, farewell)
    assert "What is not saved cannot be kept beside the file either: file too large" in notice
    assert "The file cannot be saved: file too large." == told
    assert ([case], TEXT) == (list(case.parent.iterdir()), case.read_text())
