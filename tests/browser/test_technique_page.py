"""Technique on video: clips are kept, played and deleted on this phone alone, also without signal."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Request, expect
from support.axe import violations
from support.boat import ROOT, BoatPhone, Server
from support.clips import CLIPS, NUMBERS, SHOWN_SMALL, add, choose, clips, played, shown
from support.static_files import phone_modules

SignedIn = Callable[..., BoatPhone]


@pytest.fixture
def phone(phone: BoatPhone) -> BoatPhone:
    """A phone that keeps the app has opened the page once with signal: from then on it is kept."""
    if phone.keeps_app:
        phone.open("/boat/technique")
        phone.keeps("/boat/technique")
    return phone


def is_on(page: Page, number: int, nth: int = 0) -> None:
    """Wait until the picture carries this number, and the words say the same."""
    expect(page.locator(".clip-count").nth(nth)).to_contain_text(f"Frame {number + 1} of")
    page.wait_for_function("(nth) => !document.querySelectorAll('.clip-stage video')[nth].seeking", arg=nth)
    for _ in range(400):  # on a busy machine a picture comes a moment after its place in the film
        if shown(page, nth) == number:
            return
        page.wait_for_timeout(25)
    raise AssertionError(f"picture {shown(page, nth)} is shown, not {number}")


@pytest.mark.keeps_app
def test_a_clip_added_without_signal_stays_on_the_phone_and_nothing_of_it_is_uploaded(phone: BoatPhone) -> None:
    sent: list[Request] = []
    phone.context.on("request", lambda request: sent.append(request))
    phone.context.set_offline(True)
    dive = next(row for row in phone.kept("records") if row["kind"] == "dive" and row["fields"]["role"] == "drill")
    page = add(phone, at=f"/boat/technique?dive={dive['record']}")
    (clip,) = clips(page)
    assert (clip["dive"], clip["date"], clip["fps"], clip["steady"]) == (
        dive["record"], dive["fields"]["date"], 30, True)  # fmt: skip
    assert (clip["width"], clip["height"], clip["size"]) == (320, 240, NUMBERS.stat().st_size)

    page.reload()
    is_on(played(page), 0)
    page = phone.open(f"/boat/technique?dive={dive['record']}")
    expect(page.locator(".clip-entry")).to_contain_text("drill")
    expect(page.locator("#clip-storage")).to_contain_text("1 clip on this phone, 0.1 MB")
    phone.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    phone.says("All sent")
    bodies = [request.post_data_buffer or b"" for request in sent if request.method != "GET"]
    assert all(b"ftyp" not in body and b"clip" not in body and len(body) < 2_000 for body in bodies)
    assert {request.url.split("/")[2] for request in sent if not request.url.startswith("blob:")} == {
        phone.server.url.split("/")[2]
    }


def test_a_clip_is_deleted_by_a_second_touch_and_with_the_log_and_its_room_is_free_again(phone: BoatPhone) -> None:
    add(phone)
    page = phone.open("/boat/technique")
    page.get_by_role("button", name="Delete page_numbers.mp4").click()
    page.evaluate("dispatchEvent(new Event('online'))")  # an answer of the server draws the list anew
    page.get_by_role("button", name="Keep it").click()
    assert len(clips(page)) == 1
    page.get_by_role("button", name="Delete page_numbers.mp4").click()
    page.get_by_role("button", name="Delete it from this phone").click()
    expect(page.locator("#technique-says")).to_contain_text("Deleted from this phone: page_numbers.mp4.")
    expect(page.locator("#clip-storage")).to_contain_text("0 clips on this phone, 0 MB")
    assert clips(page) == []
    assert page.evaluate(FILES) == 0

    add(phone)
    phone.context.clear_cookies()
    page = phone.open("/boat/phone")
    expect(page.locator("#phone")).to_contain_text("1 clip, 0.1 MB, which are never sent")
    page.get_by_role("button", name="Remove the log from this phone").click()
    expect(page.locator("#phone-says")).to_contain_text("Removed.")
    expect(page.locator("#phone")).to_contain_text("This phone keeps no log.")
    assert (clips(page), page.evaluate(FILES)) == ([], 0)


# Files in the private file system, and pictures in the database.
FILES = """async () => {
  let files = 0;
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle("clips").catch(() => null);
  if (folder) for await (const _ of folder.keys()) files += 1;
  const db = await new Promise((resolve) => {
    indexedDB.open("lineslate-clips").onsuccess = ({ target }) => resolve(target.result);
  });
  const pictures = await new Promise((resolve) => {
    db.transaction(["files"]).objectStore("files").count().onsuccess = ({ target }) => resolve(target.result);
  });
  db.close();
  return files + pictures;
}"""
NO_FILES = "delete FileSystemFileHandle.prototype.createWritable"
NO_ROOM = "navigator.storage.estimate = async () => ({ usage: 1000, quota: 1500 })"


def test_a_phone_that_cannot_write_files_keeps_the_clip_in_its_database_and_a_full_one_its_name(
    phone: BoatPhone,
) -> None:
    phone.page.add_init_script(NO_FILES)
    page = add(phone)
    assert clips(page)[0]["kept"] == "blob"
    page.reload()
    is_on(played(page), 0)

    page.add_init_script(NO_ROOM)
    page = add(phone, CLIPS / "page_turned.mp4")
    page.reload()
    expect(page.get_by_text("There was no room to keep page_turned.mp4")).to_be_visible()
    choose(page, NUMBERS, "#again-file")
    expect(page.locator("#again-says")).to_contain_text("That is another file.")
    choose(page, CLIPS / "page_turned.mp4", "#again-file")
    played(page)
    page.get_by_text("About this clip").click()
    expect(page.locator("#about-clip")).to_contain_text("240 × 320")  # filmed upright


def test_each_step_shows_the_frame_that_it_says_and_a_part_is_played_slowly_again_and_again(phone: BoatPhone) -> None:
    page = add(phone)
    expect(page.locator(".clip-count")).to_contain_text("of 60")
    for number in (1, 2, 3):
        page.get_by_role("button", name="Frame on").click()
        is_on(page, number)
    page.get_by_role("button", name="Frame back").click()
    is_on(page, 2)
    page.locator(".clip-player").focus()
    for key, number in (("ArrowRight", 3), ("PageDown", 13), ("ArrowLeft", 12), ("End", 59), ("Home", 0)):
        page.keyboard.press(key)
        is_on(page, number)
    page.get_by_role("slider", name="Frame of").fill("41")
    is_on(page, 41)
    for _ in range(5):  # faster than the phone can seek
        page.keyboard.press("ArrowRight")
    is_on(page, 46)

    bar = page.get_by_role("slider", name="Frame of")
    bar.fill("20")
    page.get_by_role("button", name="Start here").click()
    bar.fill("29")
    page.get_by_role("button", name="End here").click()
    expect(page.locator(".clip-count")).to_contain_text("part 21 to 30")
    page.get_by_role("radio", name="½").check()
    page.evaluate("""() => {
      window.seen = [];
      const watch = new MutationObserver(() => seen.push(document.querySelector(".clip-count").textContent));
      watch.observe(document.querySelector(".clip-count"), { childList: true, characterData: true, subtree: true });
    }""")
    page.get_by_role("button", name="Play").click()
    assert page.evaluate("document.querySelector('.clip-stage video').playbackRate") == 0.5
    expect(page.get_by_role("button", name="Play")).to_be_visible()  # it stops by itself
    is_on(page, 29)

    page.get_by_role("button", name="Loop").click()
    page.evaluate("seen.length = 0")
    page.get_by_role("button", name="Play").click()
    page.wait_for_function("""() => {
      const frames = seen.map((words) => Number(/Frame (\\d+)/.exec(words)[1]));
      return frames.filter((one, at) => at > 0 && one < frames[at - 1] - 4).length >= 2;
    }""")
    frames = page.evaluate("seen.map((words) => Number(words.split(' ')[1]))")
    assert min(frames) >= 21
    assert max(frames) <= 33  # a busy phone may show a frame or two beyond before it turns back
    page.get_by_role("button", name="Stop").click()
    number = int(page.locator(".clip-count").inner_text().split()[1]) - 1
    is_on(page, number)
    page.reload()
    expect(page.locator(".clip-count")).to_contain_text("part 21 to 30")
    is_on(page, 20)


def test_two_clips_stand_side_by_side_at_the_same_moment_one_of_them_mirrored(phone: BoatPhone) -> None:
    first = clips(add(phone))[0]["id"]
    add(phone, {"name": "other.mp4", "mimeType": "video/mp4", "buffer": NUMBERS.read_bytes()})
    phone.page.get_by_text("Compare with another clip").click()
    phone.page.locator("#compare a").click()
    page = phone.page
    expect(page.locator(".clip-player")).to_have_count(2)
    expect(page.locator("#pair-says")).to_contain_text("Show the same moment of a kick in each clip")
    left, right = (page.locator(".clip-player").nth(nth) for nth in (0, 1))
    left.get_by_role("slider").fill("10")
    is_on(page, 10)
    page.locator("#same-0").click()
    right.get_by_role("slider").fill("25")
    is_on(page, 25, 1)
    page.locator("#same-1").click()
    expect(page.locator("#pair-says")).to_contain_text("at the moment that you marked in each")
    for button, numbers in (("Both on", (11, 26)), ("Both on", (12, 27)), ("Both back", (11, 26))):
        page.get_by_role("button", name=button).click()
        is_on(page, numbers[0])
        is_on(page, numbers[1], 1)
    assert violations(page, looks=["light"]) == []
    right.get_by_role("button", name="Mirror").click()
    assert page.evaluate("""[...document.querySelectorAll(".clip-stage video")]
      .map((one) => new DOMMatrix(getComputedStyle(one).transform).a)""") == [1, -1]
    page.get_by_role("button", name="Play both").click()
    page.get_by_role("button", name="Stop both").click()
    expect(page.get_by_role("button", name="Play both")).to_be_visible()
    expect(page.locator(".clip-count").nth(1)).to_contain_text(
        f"Frame {int(page.locator('.clip-count').nth(0).inner_text().split()[1]) + 15} of")  # fmt: skip
    page.reload()
    expect(page.locator("#pair-says")).to_contain_text("at the moment that you marked in each")
    mirrored = {clip["id"]: clip["mirrored"] for clip in clips(page)}
    assert mirrored[first] is True  # the earlier one stands at the right
    assert sorted(mirrored.values()) == [False, True]


BAD: tuple[tuple[Any, str], ...] = (
    ({"name": "notes.mp4", "mimeType": "video/mp4", "buffer": b"not a video at all"}, "This file is not a video."),
    ({"name": "empty.mp4", "mimeType": "video/mp4", "buffer": b""}, "This file is empty"),
    ({"name": "cut.mp4", "mimeType": "video/mp4", "buffer": NUMBERS.read_bytes()[:900]}, "may be damaged or cut off"),
    (CLIPS / "page_sound.mp4", "This file has sound, but no picture"),
    (CLIPS / "page_hevc.mp4", 'HEVC (H.265). On an iPhone, choose Settings, Camera, Formats, "Most Compatible"'),
)  # fmt: skip


def test_a_file_that_cannot_be_played_measured_or_stepped_evenly_is_told_with_its_reason(phone: BoatPhone) -> None:
    page = phone.open("/boat/technique")
    each_bad_file_is_told_and_nothing_is_lost(page)
    two_hours_are_measured_only_in_a_part(add(phone, CLIPS / "page_two_hours.mp4"))
    page = add(phone, CLIPS / "page_4k.mp4")
    page.locator("#mark").click()
    assert page.locator(".clip-over").get_attribute("viewBox") == "0 0 1280 720"  # drawn smaller
    a_varying_rate_is_told_and_stepped_by_its_own_moments(add(phone, CLIPS / "slowing.webm"))


def each_bad_file_is_told_and_nothing_is_lost(page: Page) -> None:
    for file, words in BAD:
        choose(page, file)
        expect(page.locator("#bad-clip")).to_contain_text(words)
        page.evaluate("dispatchEvent(new Event('online'))")  # an answer of the server draws the list anew
        expect(page.locator("#bad-clip")).to_contain_text("It was not added. The file is where it was.")
        page.evaluate("document.querySelector('#add-says').replaceChildren()")
    assert clips(page) == []


def two_hours_are_measured_only_in_a_part(page: Page) -> None:
    expect(page.locator("#too-long")).to_contain_text("at most 60 s")
    expect(page.locator("#mark")).to_have_count(0)
    expect(page.locator("#unsteady")).to_contain_text("The frame rate of this clip varies.")  # none that can be told
    page.get_by_role("slider").fill("300")
    page.get_by_role("button", name="End here").click()
    page.get_by_role("slider").fill("200")
    page.get_by_role("button", name="Start here").click()
    expect(page.locator("#mark")).to_be_visible()


def a_varying_rate_is_told_and_stepped_by_its_own_moments(page: Page) -> None:
    """Each frame stands a millisecond longer than the one before, the first 17: nothing here is index / rate."""
    expect(page.locator("#unsteady")).to_contain_text("The frame rate of this clip varies. Each frame is shown")
    player = page.locator(".clip-player")
    player.focus()
    for number in (*range(1, 6), 59, 58, 30, 29, 0):
        page.get_by_role("slider", name="Frame of").fill(str(number))
        words = f"Frame {number + 1} of 60 · {(17 * number + number * (number - 1) / 2) / 1000:.2f} s"
        expect(page.locator(".clip-count")).to_have_text(words)
        page.wait_for_function("() => !document.querySelector('.clip-stage video').seeking")
        page.wait_for_function(f"() => ({SHOWN_SMALL})(0) === {number}")
    page.get_by_role("button", name="Play").click()
    expect(page.get_by_role("button", name="Play")).to_be_visible(timeout=20_000)
    expect(page.locator(".clip-count")).to_contain_text("Frame 60 of 60")
    page.get_by_text("About this clip").click()
    expect(page.locator("#about-clip")).to_contain_text("frames a second, varying.")


def test_only_the_page_of_clips_may_play_what_the_phone_holds(server: Server, new_phone: SignedIn) -> None:
    from webapp.web import assets

    ask = new_phone().context.request.get
    policies = {name: ask(f"{server.url}/boat/{name}").headers["content-security-policy"] for name in assets.BOAT_PAGES}
    assert {name for name, policy in policies.items() if "media-src" in policy} == {"technique"}
    assert policies["technique"].endswith("; media-src blob:")
    assert "'unsafe" not in policies["technique"]


OF_DRILL = re.compile("^Clips and figures: [A-Z]+ drill, Wed 20 May$")


def test_the_way_to_the_clips_of_a_drill_leads_from_its_saving_and_from_the_log(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive?role=drill")
    page.get_by_label("Depth reached").fill("20")
    page.get_by_label("Dive time").fill("1:00")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    page.get_by_role("link", name="Clips and figures").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(OF_DRILL)
    expect(page.locator("#no-clips")).to_be_visible()
    page = phone.open("/boat/log")
    page.locator(".log-line", has_text="drill").first.click()
    page.get_by_role("link", name="Clips and figures").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text(OF_DRILL)


# Two clips with phases that were measured: the second kicks twice as fast, and begins half a kick later.
BY_KICK = """async () => {
  const { alignment } = reader;
  const clip = { length_s: 4, fps: 30, slowed: 1, phase_at: null };
  const phases = (hz, from) =>
    Array.from({ length: 60 }, (_, at) => ({ t_s: at / 30, phase: (from + hz * at / 30) % 1 }));
  const found = alignment(clip, { ...clip, fps: 60 }, [phases(1, 0), phases(2, 0.5)]);
  const times = Array.from({ length: 50 }, (_, at) => at / 10 + at * at / 1000);
  const uneven = { ...clip, times, phase_at: 10 }; // its frame 10 comes after 1.1 s
  return { by: found.by, pace: found.pace, frames: [15, 30, 45].map((index) => found.frame(index)),
    unknown: alignment(clip, clip, []),
    to_uneven: [0, 20, 30].map((at) => alignment({ ...clip, phase_at: 0 }, uneven).frame(at * 3.3)),
    from_uneven: [10, 20].map((at) => alignment(uneven, { ...clip, phase_at: 3 }).frame(at)) };
}"""


def test_kicks_that_were_measured_lay_two_clips_side_by_side_without_a_mark(chromium: Browser) -> None:
    """Phase 0.5 of the first clip is frame 0 of the second; half a kick later is a quarter of its second."""
    with phone_modules(chromium, ROOT / "static", "plan/clip_frames.js") as page:
        found = page.evaluate(BY_KICK)
    assert (found["by"], found["unknown"]) == ("kick", None)
    assert abs(found["pace"] - 0.5) < 1e-6
    assert [round(frame, 3) for frame in found["frames"]] == [0, 15, 30]
    # 1.1 + 2.2 s lies between frame 26 at 3.276 s and 27 at 3.429 s; 1.1 + 3.3 s a little after frame 33
    assert found["to_uneven"] == pytest.approx([10, 26 + 0.024 / 0.153, 33 + 0.011 / 0.167])
    assert found["from_uneven"] == pytest.approx([3, 3 + (2.4 - 1.1) * 30])
