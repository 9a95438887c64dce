"""The shore in a real browser: look and reach on every page, and what the scripts add."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any
from uuid import NAMESPACE_URL, uuid5

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from support.axe import violations
from support.boat import MORNING, Server, copied, operations

from webapp.cli import demo

RULES = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGES = [
    "/account/",
    "/data/",
    f"/history/{uuid5(NAMESPACE_URL, 'lineslate demo dive 2')}",
    "/seasons/",
    "/outlook/",
    "/seasons/new",
    "/seasons/1",
    "/seasons/1/plan",
    "/diver/",
    "/rulebook/",
    "/sharing/",
    "/people/",
    "/crews/",
    "/share/offline-shell",
    "/no",
]
SCHEMES = ("light", "dark")
TOO_SMALL = """() => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
  .filter((one) => one.type !== "hidden" && one.checkVisibility() && getComputedStyle(one).display !== "inline")
  .map((one) => [["checkbox", "radio"].includes(one.type) ? one.closest("label") : one, one.outerHTML.slice(0, 80)])
  .filter(([one]) => one.getBoundingClientRect().width > 1 && one.getBoundingClientRect().height < 48)
  .map(([, words]) => words)"""


@pytest.fixture
def server(demo_file: Path, signed_in: list[Any], tmp_path: Path) -> Iterator[Server]:
    """A server of its own with the demo's diver."""
    running = Server(copied(demo_file, tmp_path))
    yield running
    running.stop()


@pytest.fixture
def open_page(chromium: Browser, server: Server, signed_in: list[Any]) -> Iterator:
    """Open a browser of one's own, signed in or not; faults in the page's scripts fail the test."""
    contexts, broken, cookies = [], [], signed_in

    def make(*, signed_in: bool = True, **options) -> Page:
        context = chromium.new_context(base_url=server.url, locale="en-GB", timezone_id="UTC", **options)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: broken.append(str(error)))
        if signed_in:
            context.add_cookies(cookies)
        return page

    yield make
    for context in contexts:
        context.close()
    assert broken == []


def share_link(page: Page, *, shows_over: bool = False) -> str:
    page.goto("/sharing/")
    page.get_by_label("Who is it for").fill("Ebba")
    page.get_by_role("checkbox", name="Show when the day is over for me").set_checked(shows_over)
    page.get_by_role("button", name="Make a link").click()
    return page.get_by_label("The new link").input_value()


@pytest.fixture(scope="module")
def visits(
    chromium: Browser, demo_file: Path, signed_in: list[Any], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """A signed-in browser for those who only look: one for all of them."""
    server = Server(copied(demo_file, tmp_path_factory.mktemp("looked_at")), files_stay=True)
    context = chromium.new_context(base_url=server.url, locale="en-GB", timezone_id="UTC", service_workers="block")
    context.add_cookies(signed_in)
    yield context
    context.close()
    server.stop()


@pytest.fixture
def looker(visits: BrowserContext) -> Iterator[Page]:
    """A new page in it; faults in its scripts fail the test."""
    broken: list[str] = []
    page = visits.new_page()
    page.on("pageerror", lambda error: broken.append(str(error)))
    yield page
    page.close()
    assert broken == []


def faulty_form(page: Page) -> None:
    page.goto("/seasons/new/all")
    page.get_by_role("button", name="Save the season").click()
    expect(page.locator("#faults")).to_be_visible()


def buddys_list(page: Page) -> None:
    page.goto(share_link(page))


def offer(page: Page) -> None:
    page.goto("/people/")
    page.get_by_role("button", name="Make a link").click()
    expect(page.get_by_role("img", name="QR code of the link")).to_be_visible()


def crew_with_its_link(page: Page) -> None:
    page.goto("/crews/")
    page.get_by_label("Name of the crew").fill("Skarn boat")
    page.get_by_role("button", name="Make a crew").click()
    page.get_by_role("button", name="Make a link to join").click()
    expect(page.get_by_role("img", name="QR code of the link")).to_be_visible()


def what_is_offered(page: Page) -> None:
    offer(page)
    page.goto(page.get_by_label("The new link").input_value())


WAYS = {path.replace(PAGES[2], "/history/dive"): partial(Page.goto, url=path) for path in PAGES}
CREW = {"an offer": offer, "a crew with its link": crew_with_its_link, "what is offered": what_is_offered}
MADE = {"a faulty form": faulty_form, "a buddy's list": buddys_list, **CREW}


@pytest.mark.parametrize("way", [*WAYS, *MADE])
def test_axe_finds_nothing_on_any_shore_page(looker: Page, way: str) -> None:
    {**WAYS, **MADE}[way](looker)
    assert violations(looker, SCHEMES, RULES) == []


@pytest.mark.parametrize("path", ["/account/sign-in", "/account/sign-up"])
def test_axe_finds_nothing_where_a_stranger_signs_in_or_up(open_page, path: str) -> None:
    page = open_page(signed_in=False)
    page.goto(path)
    assert violations(page, SCHEMES, RULES) == []


@pytest.mark.parametrize("way", [*WAYS, *CREW, "a buddy's list"])
def test_no_page_goes_sideways_and_every_target_is_large_enough(looker: Page, way: str) -> None:
    wrong = []
    {**WAYS, **MADE}[way](looker)
    for width in (320, 390, 768, 1280):
        looker.set_viewport_size({"width": width, "height": 844})
        if looker.evaluate("document.documentElement.scrollWidth > innerWidth"):
            wrong.append((width, "goes sideways"))
        wrong += [(width, words) for words in looker.evaluate(TOO_SMALL)]

    assert wrong == []


def test_the_preview_follows_what_is_typed_and_names_faults_without_leaving_the_page(open_page) -> None:
    page = open_page()
    page.goto("/seasons/1")
    preview = page.get_by_role("region", name="Preview of the plan")
    expect(preview).to_contain_text("stands at 44 m")

    page.locator("[name=FIM-start_m]").fill("30")
    expect(preview).to_contain_text("FIM deep dive 30 m")
    expect(preview).to_contain_text("Plan as saved")

    page.locator("[name=FIM-start_m]").fill("x")
    expect(preview).to_contain_text("FIM: Own start depth must be a number")
    assert page.url.endswith("/seasons/1")


VISIBLE = """() => [...document.querySelectorAll("main :is(input, select, textarea)")]
  .filter((one) => one.type !== "hidden" && one.checkVisibility()).map((one) => one.name)"""
SCREENS = 3


def test_six_values_on_three_screens_of_a_phone_give_a_first_plan(chromium: Browser, tmp_path: Path) -> None:
    server = Server(tmp_path / "new.sqlite3")
    context = chromium.new_context(base_url=server.url, viewport={"width": 390, "height": 844}, locale="en-GB")
    page = context.new_page()
    page.goto("/account/sign-up")
    page.get_by_label("Name").fill("Runa Tidewell")
    page.get_by_label("Password").fill("slow kelp drifts")
    page.get_by_role("button", name="Make the account").click()
    page.goto("/seasons/new")
    asked = page.evaluate(VISIBLE)
    height = page.evaluate("document.querySelector('main').getBoundingClientRect().bottom + scrollY")
    typed = {
        "first_day": "2031-04-01", "last_day": "2031-05-17", "bottom_m": "55", "levels-0-comfortable_m": "38",
        "levels-0-comfortable_on": "2031-03-20", "levels-0-goal_m": "46",
    }  # fmt: skip
    for name, text in typed.items():
        page.locator(f"[name={name}]").fill(text)
    page.get_by_role("button", name="Show the plan").click()
    preview = page.get_by_role("region", name="Preview of the plan")
    expect(preview).to_contain_text("FIM deep dive")
    expect(preview).to_be_in_viewport()
    wide = page.evaluate("document.documentElement.scrollWidth > innerWidth")
    small = page.evaluate(TOO_SMALL)
    page.get_by_role("button", name="Save the season").click()
    expect(page.get_by_role("status")).to_contain_text("is saved")
    context.close()
    server.stop()

    assert sorted({*typed, "levels-0-discipline"}) == sorted(asked)
    assert height <= SCREENS * 844
    assert not wide
    assert small == []


def wrong_at_390(page: Page) -> list[str]:
    """What a phone's page has wrong in its looks: sideways, targets too small, and what axe finds."""
    wide = page.evaluate("document.documentElement.scrollWidth > innerWidth")
    return [*(["goes sideways"] if wide else []), *page.evaluate(TOO_SMALL), *violations(page, ("dark",), RULES)]


def test_a_change_that_is_compared_is_filled_in_and_saved_and_then_tells_what_it_did_to_the_goals(open_page) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    page.goto("/seasons/1")
    preview = page.get_by_role("region", name="Preview of the plan")
    preview.get_by_role("button", name="Compare other days, steps and repeats").click()
    expect(preview.get_by_role("heading", name="What would change it, in order of effect")).to_be_visible()
    expect(preview).to_contain_text("must never push a dive")
    wrong = wrong_at_390(page)
    page.goto("/outlook/")
    page.get_by_role("link", name="Fill it in Step 0.5 m shorter").click()
    expect(page.locator("[name=CNF-step_m]")).to_have_value("1.5")
    expect(preview).to_contain_text("Plan as typed")
    wrong += page.evaluate(TOO_SMALL)
    page.get_by_label("Why, if you like").fill("a cold")
    page.get_by_role("button", name="Save the season").click()
    expect(page.get_by_role("status").last).to_contain_text("What this change does to the goals")
    wrong += wrong_at_390(page)
    assert wrong == []


def test_closed_days_are_picked_from_a_calendar_and_can_still_be_typed(open_page) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    page.goto("/seasons/1")
    listed = page.get_by_label("Closed days", exact=True)
    listed.fill("2026-06-01")
    add = page.get_by_role("button", name="Add to the list")
    add.click()
    expect(page.get_by_label("Closed from")).to_be_focused()
    page.get_by_label("Closed from").fill("2026-06-08")
    add.click()
    page.get_by_label("Closed from").fill("2026-06-10")
    page.get_by_label("to, if more than one day").fill("2026-06-12")
    add.click()

    expect(listed).to_have_value("2026-06-01\n2026-06-08\n2026-06-10 to 2026-06-12")
    preview = page.get_by_role("region", name="Preview of the plan")
    expect(preview.locator("tr[data-kind=closed]")).to_have_count(5)


def test_a_phone_without_an_account_is_led_to_sign_in_and_to_make_one(open_page) -> None:
    page = open_page(signed_in=False)
    page.goto("/boat/today")
    expect(page.get_by_role("link", name="Sign in")).to_be_visible()
    page.get_by_role("link", name="Make an account").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Make an account")


def test_a_phone_hands_a_new_link_to_its_own_way_of_sending(open_page) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    page.add_init_script("navigator.share = async (asked) => { window.handed = asked; }")
    link = share_link(page)
    page.get_by_role("button", name="Send the link").click()
    assert page.evaluate("window.handed") == {"url": link}

    page.add_init_script("navigator.share = undefined")
    share_link(page)
    expect(page.get_by_role("button", name="Copy the link")).to_be_visible()
    expect(page.get_by_role("button", name="Send the link")).to_have_count(0)


def test_the_list_of_faults_leads_to_the_field(open_page) -> None:
    page = open_page()
    page.goto("/seasons/new/all")
    page.get_by_role("button", name="Save the season").click()
    page.get_by_role("link", name="Depth of the bottom").click()

    expect(page.locator("[name=bottom_m]")).to_be_in_viewport()
    assert page.evaluate("location.hash") == "#bottom_m"


def test_the_readings_of_a_filled_in_diver_fit_and_axe_finds_nothing(open_page) -> None:
    page = open_page()
    page.goto("/diver/")
    typed = {"Mass of the body": "74", "Lead": "2", "Volume of the suit": "4,5", "Packing": "1", "Alarm 1": "15"}
    typed |= {"Total capacity": "7,1", "After a passive exhale": "3,4", "Residual volume": "1,8"}
    for label, text in typed.items():
        page.get_by_role("textbox", name=label).fill(text)
    page.get_by_label("I use a mouthfill").check()
    page.get_by_role("button", name="Save").click()

    expect(page.get_by_role("region", name="Buoyancy and lead")).to_contain_text("you are neutral at about")
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 844})
        assert not page.evaluate("document.documentElement.scrollWidth > innerWidth")
        assert page.evaluate(TOO_SMALL) == []
        assert violations(page, SCHEMES, RULES) == []


def test_the_look_is_kept_from_page_to_page_and_through_signing_out(open_page) -> None:
    page = open_page(color_scheme="light")
    page.goto("/seasons/")
    page.get_by_label("Theme").select_option("night")
    page.goto("/rulebook/")

    expect(page.locator("html")).to_have_attribute("data-theme", "night")
    expect(page.get_by_label("Theme")).to_have_value("night")
    assert 'data-theme="night"' in page.request.get("/rulebook/").text()


def test_without_signal_the_buddy_sees_the_kept_list_and_as_of_when(open_page) -> None:
    link = share_link(open_page())
    buddy = open_page(signed_in=False)
    keep(buddy, link)

    buddy.context.set_offline(True)
    buddy.reload()

    expect(buddy.get_by_role("heading", level=1)).to_have_text(f"Dives of {demo.NAME}")
    expect(buddy.get_by_role("status")).to_contain_text("No signal: this is the list as it was")
    expect(buddy.locator("main")).to_contain_text("FIM deep dive")


# in one go: the page's script may draw the list once more in between
WIDEST = "all => Math.max(...all.map((one) => one.getBoundingClientRect().right))"


@pytest.mark.parametrize("script", [True, False])
def test_a_day_that_is_over_stands_at_the_top_of_the_buddys_list_and_it_fits_the_smallest_phone(
    open_page, script: bool
) -> None:
    diver = open_page()
    diver.clock.install(time=MORNING)
    link = share_link(diver, shows_over=True)
    buddy = open_page(signed_in=False, viewport={"width": 320, "height": 640}, java_script_enabled=script)
    buddy.goto(link)
    expect(buddy.locator("main")).to_contain_text("Safety leaves at")
    expect(buddy.get_by_text("No more dives today")).to_have_count(0)

    diver.goto("/boat/today")
    expect(diver.locator("#outbox-says")).to_contain_text("Last sent", timeout=30_000)
    diver.goto("/boat/dive")
    diver.get_by_role("checkbox", name="Loss of motor control (LMC)").check()
    with diver.expect_response(lambda answer: answer.url.endswith("/sync") and operations(answer.request)):
        diver.get_by_role("button", name="Save").click()
    buddy.reload()
    if script:
        with buddy.expect_response("**/list.json"):
            buddy.reload()
    expect(buddy.locator(".buddy-day").first.locator("h2 + .buddy-over")).to_have_text("No more dives today")
    expect(buddy.locator(".buddy-over")).to_have_count(1)
    expect(buddy.locator("main")).not_to_contain_text("motor control")
    assert buddy.locator("main *").evaluate_all(WIDEST) <= 320


def test_a_phone_drops_the_list_when_the_link_was_taken_back(open_page) -> None:
    diver = open_page()
    link = share_link(diver)
    buddy = open_page(signed_in=False)
    keep(buddy, link)
    diver.get_by_role("button", name="Take it back").click()

    buddy.evaluate("dispatchEvent(new Event('online'))")
    expect(buddy.get_by_role("heading", level=1)).to_have_text("This link is not valid any more")
    buddy.context.set_offline(True)
    buddy.reload()

    expect(buddy.locator("main")).not_to_contain_text("FIM")


def keep(buddy: Page, link: str) -> None:
    """Open the link and wait until the phone keeps the page and the list."""
    with buddy.expect_response("**/list.json"):
        buddy.goto(link)
    buddy.evaluate("navigator.serviceWorker.ready.then(() => true)")
    buddy.wait_for_function("""() => new Promise((resolve) => {
      const request = indexedDB.open("lineslate-lists");
      request.onsuccess = () => {
        const lists = request.result.transaction(["lists"]).objectStore("lists").count();
        lists.onsuccess = () => { request.result.close(); resolve(lists.result === 1); };
      };
    })""")
