"""What a person is at stays as it is, whatever the page draws anew: what is typed, chosen, pressed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.cli.page.browser import PATIENCE_MS, Server, opened, settled
from tests.cli.page.test_browser import choose, fill

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

HEIGHT, GAP = '[id="f-segments.A.height_mm"]', '[id="f-segments.A.gap_mm"]'
BEGUN = {
    "#supports-place": "31",
    "#segments-name": "Front",
    "#segments-from": "S2",
    "#ends-name": "",
    "#ends-on": "S2",
    "#ends-length": "8,5",
}


def begin_to_add(page: Page) -> None:
    page.evaluate("document.getElementById('adding').open = true")
    for control, value in BEGUN.items():
        if page.locator(control).evaluate("one => one.tagName") == "SELECT":
            page.locator(control).select_option(value)
        else:
            page.fill(control, value)


def begun(page: Page) -> dict[str, str]:
    return {control: page.locator(control).input_value() for control in BEGUN}


def beside(page: Page, server: Server) -> Page:
    """Another tab of the same visitor."""
    other = page.context.new_page()
    other.goto(server.address)
    settled(other)
    return other


def shown(page: Page, field: str, value: str) -> None:
    from playwright.sync_api import expect  # noqa: PLC0415 - may be missing

    expect(page.locator(field)).to_have_value(value, timeout=PATIENCE_MS)


def asked_for_forms(page: Page) -> list[str]:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if request.url.endswith("/form") else None)
    return asked


def test_own_entries_that_are_answered_out_of_order_draw_nothing_anew(browser: Browser, served: Server) -> None:
    """The answer to the first comes after that to the second, as it may on a busy machine."""
    page = opened(browser, served)
    settled(page)
    forms = asked_for_forms(page)
    late: list[tuple[Route, Any]] = []
    page.route("**/edit", lambda route: late.append((route, route.fetch())), times=1)
    choose(page, "A")
    page.locator(HEIGHT).fill("2,1")
    while not late:
        page.wait_for_timeout(20)
    with page.expect_response("**/edit"):
        page.locator(GAP).fill("1,5")
    begin_to_add(page)
    for route, response in late:
        route.fulfill(response=response)
    settled(page)
    stays, values = begun(page), [page.locator(one).input_value() for one in (HEIGHT, GAP)]
    for _ in values:
        page.locator("#undo").click()
    settled(page)
    page.context.close()

    assert (BEGUN, ["2,1", "1,5"]) == (stays, values)
    assert 2 == len(forms)  # for what was undone, and not before


def test_forms_that_are_begun_stay_while_another_tab_works(browser: Browser, served: Server) -> None:
    """A figure, then a support, which the forms then offer; at last the form is sent as it was filled in."""
    one = opened(browser, served)
    settled(one)
    two = beside(one, served)
    begin_to_add(two)
    two.evaluate("document.getElementById('why-not').open = true")
    two.locator("#why-site").select_option("S2")
    attachment = two.locator("#why-attachment option").last.get_attribute("value")
    two.locator("#why-attachment").select_option(attachment)
    fill(one, "segments.A.height_mm", "2,2")
    shown(two, HEIGHT, "2.2")
    after_a_figure = begun(two)
    one.evaluate("document.getElementById('adding').open = true")
    one.fill("#supports-place", "35")
    one.locator("#supports-add").click()
    two.wait_for_selector("#segments-to option:text-is('S3')", state="attached")
    after_a_support, names = begun(two), two.locator("#supports-name").input_value()
    asks = two.locator("#why-site").input_value(), two.locator("#why-attachment").input_value()
    two.locator("#segments-to").select_option("S3")
    two.locator("#segments-add").click()
    two.wait_for_selector("#card-Front:not([hidden])")
    emptied = begun(two)
    two.locator("#remove-Front").click()
    two.wait_for_selector("#card-Front", state="detached")
    choose(two, "S3")
    two.locator("#remove-S3").click()
    two.wait_for_selector("#card-S3", state="detached")
    one.context.close()

    assert (BEGUN, BEGUN) == (after_a_figure, after_a_support)
    assert ("S4", ("S2", attachment)) == (names, asks)
    assert BEGUN | {"#segments-name": "B", "#segments-from": "S1"} == emptied


def test_what_is_wrong_with_an_addition_is_told_where_it_was_typed(browser: Browser, served: Server) -> None:
    """Though another tab has changed the case, and all forms are drawn anew, before that is told."""
    one = opened(browser, served)
    settled(one)
    two = beside(one, served)
    two.wait_for_selector("#resting[data-of]")  # nothing is asked for by itself any more, but for looks
    with two.expect_event("requestfailed"):
        two.route("**/state", lambda route: route.abort())
    fill(one, "segments.A.height_mm", "2,3")
    settled(one)
    begin_to_add(two)
    two.fill("#supports-place", "13")
    two.locator("#supports-add").click()
    told = two.locator('form[data-group="supports"] .problem')
    told.wait_for()
    problem, typed, height = told.inner_text(), two.locator("#supports-place").input_value(), two.locator(HEIGHT)
    drawn_anew = height.input_value()
    one.context.close()

    assert "13 is not in the lower jaw" in problem
    assert ("13", "2.3") == (typed, drawn_anew)


def test_what_was_added_is_shown_though_the_form_was_lost_on_the_way(browser: Browser, served: Server) -> None:
    page = opened(browser, served)
    settled(page)
    page.evaluate("document.getElementById('adding').open = true")
    page.route("**/form", lambda route: route.abort(), times=1)
    page.fill("#supports-name", "Late")
    page.fill("#supports-place", "31")
    page.locator("#supports-add").click()
    page.wait_for_selector("#card-Late:not([hidden])")
    page.locator("#remove-Late").click()
    page.wait_for_selector("#card-Late", state="detached")
    page.context.close()


def test_a_form_that_comes_late_takes_nothing_away_that_was_typed_since(browser: Browser, served: Server) -> None:
    """Asked for when another tab had changed a figure, and arriving when this one has typed and was answered."""
    one = opened(browser, served)
    settled(one)
    two = beside(one, served)
    choose(two, "A")
    late: list[tuple[Route, Any]] = []
    two.route("**/form", lambda route: late.append((route, route.fetch())), times=1)
    fill(one, "segments.A.gap_mm", "1,1")
    while not late:
        two.wait_for_timeout(20)
    with two.expect_response("**/edit"):
        two.locator(HEIGHT).fill("2,75")
    two.evaluate("""() => {
      window.seen = [];
      const note = () => window.seen.push(document.getElementById('f-segments.A.height_mm').value);
      new MutationObserver(note).observe(document.getElementById('cards'), {childList: true});
    }""")
    for route, response in late:
        route.fulfill(response=response)
    shown(two, GAP, "1.1")
    seen = two.evaluate("window.seen")
    one.context.close()

    assert seen
    assert {"2.75", "2,75"} >= set(seen)


def test_a_press_is_not_lost_to_what_is_drawn_anew_meanwhile(browser: Browser, served: Server) -> None:
    """The button is down while another tab changes a figure; time stands still, so that it may be held for long."""
    one = opened(browser, served)
    settled(one)
    two = beside(one, served)
    begin_to_add(two)
    two.fill("#supports-name", "Pressed")
    two.locator("#supports-add").hover()
    two.evaluate("() => { const now = performance.now(); performance.now = () => now; }")
    two.mouse.down()
    with two.expect_response("**/form"):
        fill(one, "segments.A.height_mm", "2,9")
    two.wait_for_timeout(200)
    meanwhile = two.locator(HEIGHT).input_value()
    two.mouse.up()
    two.wait_for_selector("#card-Pressed:not([hidden])")
    after = two.locator(HEIGHT).input_value()
    two.locator("#remove-Pressed").click()
    two.wait_for_selector("#card-Pressed", state="detached")
    one.context.close()

    assert "2.9" != meanwhile
    assert "2.9" == after


def test_a_wrong_answer_to_a_question_stays_when_all_are_drawn_anew(browser: Browser, served: Server) -> None:
    page = opened(browser, served)
    settled(page)
    before = page.locator("#asks .field").count()
    question = page.locator('#asks [data-at="segments.A.undercut_mm"] [data-part="value"]')
    question.fill("deep")
    page.wait_for_selector("#asks [aria-invalid]")
    fill(page, "room.space_mm", "")
    settled(page)
    more = page.locator("#asks .field").count() - before
    stays, told = question.input_value(), page.locator("#left-out").inner_text()
    page.context.close()

    assert more > 0
    assert "deep" == stays
    assert told.startswith("One entry cannot stand")
