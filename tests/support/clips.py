"""Small made clips, and the page that plays them."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from support.boat import ROOT, BoatPhone

CLIPS = ROOT / "tests" / "clips"
NUMBERS = CLIPS / "page_numbers.mp4"  # 60 frames, 30 a second, B-frames; each carries its number as eight squares
KICK = CLIPS / "page_kick.mp4"  # a made leg, 1 kick a second, knee bend from 10 to 50 degrees, 105 frames

# Where the made leg has its marks on its first frame, of 360 x 480 pixels.
MARKS = {
    "shoulder": (200, 60), "hip": (200, 170), "knee": (200, 250), "ankle": (141.7, 304.7), "fin": (65.1, 352),
    "line_top": (318, 60), "line_low": (318, 420),
}  # fmt: skip

# The number of the frame that is on the screen: eight squares along the upper edge, black or white, lowest bit first.
SHOWN = """(nth) => {
  const video = document.querySelectorAll(".clip-stage video")[nth];
  const canvas = Object.assign(document.createElement("canvas"), { width: 320, height: 240 });
  const pen = canvas.getContext("2d");
  pen.drawImage(video, 0, 0, 320, 240);
  const bits = Array.from({ length: 8 }, (_, bit) => pen.getImageData(bit * 40 + 20, 20, 1, 1).data[1] > 127);
  return bits.reduce((sum, on, bit) => sum + (on ? 2 ** bit : 0), 0);
}"""


# The same on the films of 160 x 96 that were made for stepping.
SHOWN_SMALL = (
    SHOWN.replace("width: 320, height: 240", "width: 160, height: 96")
    .replace("0, 0, 320, 240", "0, 0, 160, 96")
    .replace("bit * 40 + 20, 20,", "bit * 19 + 12, 24,")
)


def shown(page: Page, nth: int = 0, script: str = SHOWN) -> int:
    return int(page.evaluate(script, nth))


def choose(page: Page, file: Path | dict[str, Any], picker: str = "#choose-file") -> None:
    page.set_input_files(picker, file)  # type: ignore[arg-type]


def add(phone: BoatPhone, file: Path | dict[str, Any] = NUMBERS, at: str = "/boat/technique") -> Page:
    """Add a clip and wait until its player shows the first frame."""
    page = phone.open(at)
    choose(page, file)
    page.wait_for_url("**/boat/technique?clip=*")
    return played(page)


def played(page: Page) -> Page:
    expect(page.locator(".clip-count").first).to_contain_text("Frame 1 of")
    page.wait_for_function("() => document.querySelector('.clip-stage video')?.readyState >= 2")
    return page


def clips(page: Page) -> list[dict[str, Any]]:
    """What the phone notes of its clips, read without the app."""
    found: list[dict[str, Any]] = page.evaluate("""() => new Promise((resolve) => {
      const asked = indexedDB.open("lineslate-clips");
      asked.onsuccess = () => {
        const all = asked.result.transaction(["clips"]).objectStore("clips").getAll();
        all.onsuccess = () => { asked.result.close(); resolve(all.result); };
      };
    })""")
    return found


def ankle_at(frame: int) -> tuple[float, float]:
    """Where the made leg has its ankle: the formula that the clip was drawn by."""
    swing = 2 * math.pi * frame / 30
    thigh = 0.26 * math.sin(swing)
    shank = thigh - math.radians(30 + 20 * math.sin(swing + 1))
    return 200 + 80 * (math.sin(thigh) + math.sin(shank)), 170 + 80 * (math.cos(thigh) + math.cos(shank))


def touch(page: Page, x: float, y: float, size: tuple[int, int] = (360, 480)) -> None:
    """Press on the picture where a pixel of the clip is shown, and lift."""
    box = page.locator("#marks-on").bounding_box()
    assert box
    page.mouse.move(box["x"] + x / size[0] * box["width"], box["y"] + y / size[1] * box["height"])
    page.mouse.down()
    page.mouse.up()


def mark_all(page: Page, names: tuple[str, ...] = tuple(MARKS)) -> None:
    page.locator("#mark").click()
    expect(page.locator("#marks-on")).to_be_focused()
    for name in names:
        page.locator(f"#point-{name}").click()
        touch(page, *MARKS[name])
