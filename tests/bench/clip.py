"""How long a clip takes from its marks to its figures, and how much memory: `python tests/bench/clip.py [long]`.

On the page of clips itself, in a real browser: a film of 5 s at 1280 x 720 and 30 frames a second is chosen, four
points are marked by touch, and followed. What counts is the time from the touch on "Follow these points" to the
figures, seeking included. With `long` the same with 60 s at 1920 x 1080; meanwhile the memory of all processes of the
browser is looked at five times a second (the proportional set size). What counts is how much it grew at the most since
the page was open without a clip. Exits 1 beyond a goal. The films are made by ffmpeg.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from playwright.sync_api import Page, expect  # noqa: E402
from support.boat import PHONE, BoatPhone, Server  # noqa: E402
from support.browsers import running_browser  # noqa: E402
from support.clips import choose, played, touch  # noqa: E402
from support.swimmer import HEIGHT, WIDTH, Drawing, Film, truth  # noqa: E402

from webapp import store  # noqa: E402
from webapp.cli import demo  # noqa: E402
from webapp.web.app import create_app  # noqa: E402

GOAL_S, GOAL_MB = 15, 300
POINTS = ("shoulder", "hip", "knee", "ankle")
FILM = Film(seed=3, seconds=5, hz=1, noise=3)  # five whole kicks: it can be repeated without a jump
LONGEST_MS = 1_200_000
LOOK_S = 0.2


def make_film(to: Path, width: int, height: int, times: int) -> None:
    """The invented diver in the middle of the frame, three quarters of it high at the most."""
    scale = height // HEIGHT or 1
    sized = f"scale={WIDTH * scale}:{HEIGHT * scale},pad={width}:{height}:(ow-iw)/2:(oh-ih)/2:color=0x787878"
    given = ("-f", "rawvideo", "-pix_fmt", "gray", "-s", f"{WIDTH}x{HEIGHT}", "-r", str(FILM.fps), "-i", "-")
    made = ("-vf", sized, "-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-g", "30", "-pix_fmt", "yuv420p")
    frames = Drawing(FILM).frames().tobytes()
    command = ["ffmpeg", "-v", "error", "-y", *given, *made, "-movflags", "+faststart", str(to)]
    subprocess.run(command, input=frames * times, check=True)


def places(width: int, height: int) -> dict[str, tuple[float, float]]:
    """Where the points are on the first frame, in its own pixels."""
    scale = height // HEIGHT or 1
    left, top = (width - WIDTH * scale) / 2, (height - HEIGHT * scale) / 2
    return {name: (left + x * scale, top + y * scale) for name, (x, y) in truth(FILM)[0].items() if name in POINTS}


@contextmanager
def phone_on_the_page(folder: Path) -> Iterator[BoatPhone]:
    """A phone on the page of clips, signed in."""
    data, now = folder / "demo.sqlite3", datetime.now(UTC)
    demo.make_if_missing(create_app({"DATA_FILE": str(data)}), now)
    store.close()
    server = Server(data, moment=now)
    try:
        with running_browser() as browser:
            phone = BoatPhone(browser.new_context(**PHONE), server)
            phone.sign_in()
            phone.open("/boat/technique")
            yield phone
    finally:
        server.stop()


def followed_s(page: Page, film: Path, size: tuple[int, int]) -> float:
    """Mark the points of a clip by touch and follow them; return the seconds until its figures are there."""
    choose(page, film)
    page.wait_for_url("**/boat/technique?clip=*")
    played(page).locator("#mark").click()
    for name, place in places(*size).items():
        page.locator(f"#point-{name}").click()
        touch(page, *place, size)
    from_s = time.monotonic()
    page.locator("#follow").click()
    expect(page.locator("#figures").or_(page.locator("#lost"))).to_be_visible(timeout=LONGEST_MS)
    took_s = time.monotonic() - from_s
    assert page.locator("#figure-kick_hz").inner_text().split("\n")[1].startswith("1.00")
    return took_s


def kind_of(process: int) -> str:
    """What a process of the browser is for; empty for another process."""
    words = Path(f"/proc/{process}/cmdline").read_text().replace("\0", " ")
    if "--headless" not in words and "--type=" not in words:
        return ""
    return words.split("--type=")[1].split()[0] if "--type=" in words else "browser"


def memory_mb(parent: int) -> Counter[str]:
    """The proportional set size of the browser's processes below this one, by kind."""
    below, found = [parent], Counter[str]()
    for process in below:  # it grows meanwhile
        try:
            tasks = Path(f"/proc/{process}/task").iterdir()
            below += [int(child) for task in tasks for child in (task / "children").read_text().split()]
            if kind := kind_of(process):
                rollup = Path(f"/proc/{process}/smaps_rollup").read_text()
                found[kind] += int(rollup.split("Pss:")[1].split()[0]) // 1024
        except (FileNotFoundError, ProcessLookupError, IndexError):
            continue  # it has just ended
    return found


@contextmanager
def watched_memory() -> Iterator[list[Counter[str]]]:
    """What the browser's processes need, looked at again and again."""
    seen, over = [memory_mb(os.getpid())], threading.Event()

    def look() -> None:
        while not over.wait(LOOK_S):
            seen.append(memory_mb(os.getpid()))

    looking = threading.Thread(target=look)
    looking.start()
    try:
        yield seen
    finally:
        over.set()
        looking.join()


def main() -> int:
    """Measure and print; 1 beyond a goal."""
    is_long = "long" in sys.argv[1:]
    size, times = ((1920, 1080), 12) if is_long else ((1280, 720), 1)
    with tempfile.TemporaryDirectory() as name:
        film = Path(name, "film.mp4")
        make_film(film, *size, times)
        with phone_on_the_page(Path(name)) as phone, watched_memory() as seen:
            before = os.getloadavg()[0]
            took_s = followed_s(phone.page, film, size)
            grown_mb = max(look.total() for look in seen) - seen[0].total()
            grown = {kind: max(look[kind] for look in seen) - seen[0][kind] for kind in max(seen, key=len)}
    frames = len(FILM.times) * times
    goals = ("", f", goal {GOAL_MB}") if is_long else (f", goal {GOAL_S} s", "")
    seconds, load = frames / FILM.fps, f"load {before:.1f} to {os.getloadavg()[0]:.1f}"
    print(f"{seconds:.0f} s of {size[0]} x {size[1]}, {len(POINTS)} points, {load}")
    print(f"  from marks to figures {took_s:6.1f} s, {frames / took_s:.1f} frames a second{goals[0]}")
    print(f"  memory grew by        {grown_mb:6.0f} MB at the most, from {seen[0].total()} MB{goals[1]}")
    print("  each by itself:", ", ".join(f"{kind} {mb} MB" for kind, mb in sorted(grown.items())))
    return int(grown_mb > GOAL_MB if is_long else took_s > GOAL_S)


if __name__ == "__main__":
    sys.exit(main())
