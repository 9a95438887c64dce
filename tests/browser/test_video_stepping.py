"""A film stepped through frame by frame in a real browser, and the marks followed through it beside the page."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from support.static_files import serving_static

from webapp.web.security import CSP_WITH_CLIPS, HEADERS

TESTS = Path(__file__).parents[1]
STATIC, CLIPS = TESTS.parent / "static", TESTS / "clips"
KICKS: dict[str, Any] = json.loads((CLIPS / "kicks.json").read_text(encoding="utf-8"))
TRUTH: list[dict[str, list[float]]] = KICKS["places"]
H264 = 'video/mp4; codecs="avc1.640028"'

SET_UP = """async () => {
  const names = ["stepping", "follow", "figures", "track", "film_times"];
  const parts = await Promise.all(names.map((name) => import(`/js/video/${name}.js`)));
  const picked = Object.assign(document.createElement("input"), { type: "file" });
  const video = Object.assign(document.createElement("video"), { muted: true, playsInline: true, preload: "auto" });
  const canvas = document.createElement("canvas");
  document.documentElement.append(picked, video, canvas);
  Object.assign(window, { video, canvas, reader: Object.assign({}, ...parts) });
}"""
OPEN = """() => new Promise((resolve, reject) => {
  video.onloadeddata = () => resolve(video.videoWidth);
  video.onerror = () => reject(new Error(video.error.message));
  video.src = URL.createObjectURL(document.querySelector("input").files[0]);
})"""
READ_NUMBERS = """async ([order, fps]) => {
  const read = [];
  for (const index of order) {
    await reader.seekFrame(video, index, fps);
    const { width, data } = reader.greyOf(video, canvas);
    const bit = (at) => (data[24 * width + 12 + 19 * at] > 128) * 2 ** at;
    read.push([0, 1, 2, 3, 4, 5, 6, 7].reduce((sum, at) => sum + bit(at), 0));
  }
  return read;
}"""
Open = Callable[[str], Page]


@pytest.fixture
def film(chromium: Browser) -> Iterator[Open]:
    """A page with the headers of the page of films, on which a clip is picked as a diver picks it."""
    headers = {**HEADERS, "Content-Security-Policy": CSP_WITH_CLIPS}
    with serving_static(STATIC, headers) as address:
        page = chromium.new_page()
        page.goto(f"{address}/css/base.css")
        page.evaluate(SET_UP)

        def opened(name: str) -> Page:
            page.set_input_files("input", CLIPS / name)
            page.evaluate(OPEN)
            return page

        yield opened
        page.close()


def playable(page: Page, kind: str) -> None:
    if page.evaluate("(kind) => video.canPlayType(kind)", kind):
        return
    if os.environ.get("LINESLATE_TEST_ENGINES"):
        pytest.fail(f"this browser was built without {kind}")
    # Skipped even where everything is installed: the Chromium that Playwright brings has free codecs only, and the
    # README's test command promises to work with it. .ci/run takes Debian's, which has them all: there it fails.
    pytest.skip(f"built without {kind}: the Chromium that Playwright brings has free codecs only; .ci/run has them all")


@pytest.mark.parametrize(("name", "fps"), [("numbers.webm", 60), ("numbers.mp4", 30000 / 1001)])
def test_each_frame_that_is_asked_for_is_the_one_that_is_shown(film: Open, name: str, fps: float) -> None:
    order = [0, 1, 2, 3, 4, 5, 6, 7, 89, 88, 45, 45, 44, 17, 60, 61, 62, 0, 31, 30, 29]
    page = film("numbers.webm")
    if name.endswith("mp4"):
        playable(page, H264)
        film(name)
    assert page.evaluate(READ_NUMBERS, [order, fps]) == order
    assert page.evaluate("(fps) => reader.frameCount(video, fps)", fps) == 90


@pytest.mark.parametrize(
    ("name", "fps", "steady"),
    [("numbers.webm", 60, True), ("numbers.mp4", 30000 / 1001, True), ("uneven.webm", 0, False)],
)
def test_the_rate_of_a_film_is_read_from_the_film(film: Open, name: str, fps: float, steady: bool) -> None:
    page = film("numbers.webm")
    if name.endswith("mp4"):
        playable(page, H264)
    film(name)
    told = page.evaluate("() => reader.frameRate(video)")
    assert told["steady"] is steady
    assert not steady or told["fps"] == pytest.approx(fps, rel=1e-6)
    assert page.evaluate("() => video.paused")


TIMES = "() => reader.filmTimes(document.querySelector('input').files[0])"
PLAYED = """() => new Promise((resolve) => {
  const seen = [];
  const look = (_, { mediaTime }) => { seen.push(mediaTime); video.requestVideoFrameCallback(look); };
  video.requestVideoFrameCallback(look);
  video.onended = () => resolve(seen);
  video.play();
})"""


# When the frames of the films of varying rate are shown, in seconds: the formulas that they were made by.
UNEVEN = [(at // 3 * 103 + at % 3 * 20 + at % 3 // 2 * 13) / 1000 for at in range(60)]
SLOWING = [(17 * at + at * (at - 1) / 2) / 1000 for at in range(60)]


@pytest.mark.parametrize(
    ("name", "moments", "wrong_by_rate"),
    [("uneven.webm", UNEVEN, 0), ("slowing.webm", SLOWING, 8), ("slowing.mp4", SLOWING, 8)],
)
def test_frames_of_a_film_of_varying_rate_are_found_by_their_own_moments(
    film: Open, name: str, moments: list[float], wrong_by_rate: int
) -> None:
    """What the file says is what the browser shows."""
    page = film("uneven.webm")
    if name.endswith("mp4"):
        playable(page, H264)
    film(name)
    told = page.evaluate(TIMES)
    assert told["times"] == pytest.approx(moments, abs=1e-6)
    assert told["steady"] is False
    assert told["fps"] == pytest.approx(59 / moments[-1])
    order = [*range(60), 59, 30, 31, 30, 1, 0]
    assert page.evaluate(READ_NUMBERS, [order, told["times"]]) == order
    wrong = page.evaluate(READ_NUMBERS, [order[3:60:6], told["fps"]])
    assert sum(one != other for one, other in zip(wrong, order[3:60:6], strict=True)) >= wrong_by_rate
    for moment in page.evaluate(PLAYED):
        assert min(abs(moment - time_s) for time_s in told["times"]) < 0.0011


# A busy browser may tell of the picture of an earlier seek before it tells of the one that was asked for.
LATE_WORD = """async () => {
  const times = Array.from({ length: 60 }, (_, at) => at / 30 + (at > 20 ? 0.01 : 0));
  const asked = [];
  let waiting = [];
  const tell = (mediaTime) => { const now = waiting; waiting = []; for (const one of now) one(0, { mediaTime }); };
  const film = Object.assign(new EventTarget(), { seeking: false, readyState: 2,
    requestVideoFrameCallback: (one) => waiting.push(one) });
  Object.defineProperty(film, "currentTime", { get: () => asked.at(-1), set: (to_s) => {
    asked.push(to_s);
    queueMicrotask(() => {
      tell(0);
      film.dispatchEvent(new Event("seeked"));
      setTimeout(() => tell(times.findLast((one) => one <= to_s)), 20);
    });
  } });
  await reader.seekFrame(film, 10, times);
  return [asked.length, times.findLastIndex((one) => one <= asked.at(-1))];
}"""


def test_a_late_word_of_an_earlier_picture_does_not_lead_to_another_frame(film: Open) -> None:
    assert film("numbers.webm").evaluate(LATE_WORD) == [1, 10]


@pytest.mark.parametrize(
    ("name", "fps"),
    [("numbers.webm", 60), ("numbers.mp4", 30000 / 1001), ("page_numbers.mp4", 30), ("page_kick.mp4", 30),
     ("kicks.webm", 30), ("page_4k.mp4", 30), ("page_hevc.mp4", 30), ("page_turned.mp4", 30)],
)  # fmt: skip
def test_the_rate_of_an_even_film_is_read_from_its_file_without_playing_it(film: Open, name: str, fps: float) -> None:
    page = film("numbers.webm")
    page.set_input_files("input", CLIPS / name)
    told = page.evaluate(TIMES)
    assert told == {"fps": pytest.approx(fps, rel=1e-6), "steady": True, "times": None}


def test_an_even_film_that_begins_late_is_stepped_by_its_moments(film: Open) -> None:
    """Some films with frames that refer to later ones begin two frames after 0, and no note in them moves that back.

    In such films Chromium cannot seek to the two frames before a whole one (here 28, 29, 58, 59): it shows that one.
    """
    page = film("numbers.webm")
    playable(page, H264)
    late = (CLIPS / "numbers.mp4").read_bytes().replace(b"edts", b"free")
    page.set_input_files("input", {"name": "late.mp4", "mimeType": "video/mp4", "buffer": late})
    page.evaluate(OPEN)
    told = page.evaluate(TIMES)
    assert (told["steady"], told["fps"]) == (True, pytest.approx(30000 / 1001))
    assert told["times"] == pytest.approx([(at + 2) * 1001 / 30000 for at in range(90)])
    order = [1, 2, 0, 3, 45, 44, 27, 31, 88]
    assert page.evaluate(READ_NUMBERS, [order, told["times"]]) == order


def test_a_file_that_does_not_tell_its_moments_is_left_to_playing(film: Open) -> None:
    page = film("numbers.webm")
    cut = (CLIPS / "numbers.mp4").read_bytes()
    others = {
        "notes.txt": b"not a film at all, but long enough", "empty.mp4": b"", "head.mp4": cut[:40],
        "half.mp4": cut[:900], "half.webm": (CLIPS / "uneven.webm").read_bytes()[:300],
        "zeros.bin": bytes(1000), "long.mp4": b"\x00\x00\x00\x01moov" + b"\xff" * 20,
    }  # fmt: skip
    for name, content in others.items():
        page.set_input_files("input", {"name": name, "mimeType": "video/mp4", "buffer": content})
        assert page.evaluate(TIMES) is None, name
    for name in ("page_sound.mp4", "page_two_hours.mp4"):  # no picture; four pictures in two hours
        page.set_input_files("input", CLIPS / name)
        assert page.evaluate(TIMES) is None, name


def shown(steps: list[float], drop: tuple[int, ...] = ()) -> list[dict[str, float]]:
    """What a browser says of each frame while it plays; those in `drop` it left out, but counted."""
    times = np.cumsum([0.1, *steps])
    return [
        {"mediaTime": float(t), "presentedFrames": at + 1 - sum(one < at for one in drop)}
        for at, t in enumerate(times)
        if at not in drop
    ]


def whole(fps: float) -> list[float]:
    """The steps of a film whose times are in whole milliseconds, as WebM has them."""
    return (np.diff(np.round(1000 * np.arange(1.3 * fps) / fps)) / 1000).tolist()


def test_frames_left_out_while_playing_do_not_change_the_rate_and_uneven_ones_are_told(film: Open) -> None:
    page = film("numbers.webm")
    cases = [
        (shown([1 / 30] * 39), {"fps": 30, "steady": True}),
        (shown([1001 / 30000] * 39, drop=(4, 5, 11, 20)), {"fps": 30000 / 1001, "steady": True}),
        *((shown(whole(fps)), {"fps": fps, "steady": True}) for fps in (24, 30000 / 1001, 60000 / 1001, 60, 120, 240)),
        (shown(whole(60), drop=tuple(range(1, 78, 2)[:30])), {"fps": 60, "steady": True}),  # a phone that is too slow
        (shown([1 / 239] * 80), {"fps": 240, "steady": True}),
        (shown([1 / 17.3] * 20), {"fps": 17.3, "steady": True}),
        (shown([1 / 30] * 5), {"fps": None, "steady": False}),
        (shown([0.103] * 12), {"fps": None, "steady": False}),  # each third frame of the uneven film, or of another
        ([], {"fps": None, "steady": False}),
    ]
    for seen, expected in cases:
        told = page.evaluate("(seen) => reader.rateOf(seen)", seen)
        assert told["steady"] is expected["steady"]
        assert told["fps"] == (expected["fps"] and pytest.approx(expected["fps"], rel=1e-6))
    assert page.evaluate("(seen) => reader.rateOf(seen).steady", shown([0.02, 0.033, 0.05] * 13)) is False


FOLLOW = """async ({ truth, first, last, marked, stop_at, rate = 30 }) => {
  const told = { shares: [], asked: [] };
  const stop = new AbortController();
  const point = (name, index) => ({ x: truth[index][name][0], y: truth[index][name][1] });
  const marks = Object.fromEntries(Object.keys(truth[first]).map((name) => [name, point(name, first)]));
  const onLost = async (name, index) => { told.asked.push([name, index]); return marked ? point(name, index) : null; };
  const onProgress = (share) => {
    told.shares.push(share);
    if (told.shares.length === stop_at) stop.abort(new Error("cancelled"));
  };
  const options = { video, canvas, rate, first, last, marks, onLost, onProgress, signal: stop.signal };
  try { told.tracks = await reader.follow(options); } catch (error) { told.error = error.message; }
  return told;
}"""


def assert_ended(page: Page) -> None:
    """The thread of the tracker ends: its end is told a moment later."""
    for _ in range(500):
        if not page.workers:
            return
        page.evaluate("() => new Promise((done) => setTimeout(done))")
    raise AssertionError(page.workers)


def far(tracks: list[dict[str, Any]], name: str) -> dict[int, float]:
    """How far a point is from the truth in each frame that has it."""
    return {
        at: float(np.hypot(point["x"] - TRUTH[at][name][0], point["y"] - TRUTH[at][name][1]))
        for at, point in ((track["index"], track["points"].get(name)) for track in tracks)
        if point
    }


def test_the_marks_are_followed_through_a_film_by_a_worker_which_asks_where_a_point_is_lost(film: Open) -> None:
    page, workers = film("kicks.webm"), []
    page.on("worker", lambda worker: workers.append(worker.url))
    hidden = KICKS["hidden"]
    told = page.evaluate(FOLLOW, {"truth": TRUTH, "first": 20, "last": 60, "marked": False, "stop_at": 0})
    tracks = told["tracks"]
    assert [(track["index"], track["t_s"]) for track in tracks] == [
        (at, pytest.approx(at / 30)) for at in range(20, 61)
    ]
    ((name, at),) = told["asked"]  # once, and nothing else
    assert (name, hidden["start"] <= at < hidden["start"] + 3) == (hidden["name"], True)
    assert sorted(far(tracks, name)) == list(range(20, at))  # nobody marked it: it stays away
    for name in TRUTH[0]:
        assert max(far(tracks, name).values()) < 2
    assert told["shares"] == [pytest.approx(done / 40) for done in range(1, 41)]
    assert [url.rsplit("/", 1)[1] for url in workers] == ["worker.js"]
    assert_ended(page)


def test_a_point_that_is_marked_anew_is_followed_on_and_its_frame_says_so(film: Open) -> None:
    page, hidden = film("kicks.webm"), KICKS["hidden"]
    told = page.evaluate(FOLLOW, {"truth": TRUTH, "first": hidden["end"] - 9, "last": 50, "marked": True, "stop_at": 0})
    marked = [(track["index"], track["marked"]) for track in told["tracks"] if track.get("marked")]
    assert marked == [(at, [name]) for name, at in told["asked"]]
    assert {name for name, _ in told["asked"]} == {hidden["name"]}
    assert sorted(far(told["tracks"], hidden["name"])) == list(range(hidden["end"] - 9, 51))


def test_following_can_be_cancelled_and_the_worker_ends(film: Open) -> None:
    page = film("kicks.webm")
    told = page.evaluate(FOLLOW, {"truth": TRUTH, "first": 0, "last": 60, "marked": True, "stop_at": 3})
    assert told["error"] == "cancelled"
    assert len(told["shares"]) == 3
    assert_ended(page)
    assert page.evaluate(READ_NUMBERS, [[1], 30])  # and the film can be stepped on


def test_the_moments_of_tracks_are_those_of_the_frames(film: Open) -> None:
    page = film("kicks.webm")
    rate = [at / 30 + at % 2 / 90 for at in range(75)]
    told = page.evaluate(FOLLOW, {"truth": TRUTH, "first": 20, "last": 23, "marked": True, "stop_at": 0, "rate": rate})
    assert [track["t_s"] for track in told["tracks"]] == pytest.approx(rate[20:24])


READ_BOTH = """async ({ index, fps, most_px }) => {
  const { frameReader } = await import("/js/video/frames.js");
  const { greyFromLuma } = await import("/js/video/luma.js");
  const frames = frameReader(video, canvas, most_px);
  await reader.seekFrame(video, 0, fps);
  const first = await frames.read();
  await reader.seekFrame(video, index, fps);
  const plane = await frames.read();
  if (!plane.drawn) return null;
  const { width, height, data } = greyFromLuma(plane);
  const drawn = reader.greyOf(video, canvas, most_px);
  const off = data.map((value, at) => Math.abs(value - drawn.data[at]));
  return { first: "drawn" in first, size: [width, height], off: off.reduce((sum, one) => sum + one, 0) / off.length };
}"""


@pytest.mark.parametrize(
    ("name", "fps", "most_px", "size"),
    [
        ("kicks.webm", 30, 1280, [400, 480]),
        ("kicks.webm", 30, 300, [300, 360]),
        ("page_kick.mp4", 30, 1280, [360, 480]),
    ],
)
def test_the_brightness_from_the_decoder_is_the_frame_that_a_canvas_shows(
    film: Open, name: str, fps: float, most_px: int, size: list[int]
) -> None:
    page = film("kicks.webm")
    if name.endswith("mp4"):
        playable(page, H264)
    film(name)
    told = page.evaluate(READ_BOTH, {"index": 17, "fps": fps, "most_px": most_px})
    assert told == {"first": False, "size": size, "off": pytest.approx(0, abs=3)}


def test_a_turned_film_or_a_browser_without_its_brightness_is_read_from_the_canvas(film: Open) -> None:
    page = film("kicks.webm")
    playable(page, H264)
    film("page_turned.mp4")
    told = page.evaluate(READ_BOTH, {"index": 9, "fps": 30, "most_px": 1280})
    assert told is None or told["off"] < 3  # never a frame that lies on its side
    film("kicks.webm")
    page.evaluate("() => { delete window.VideoFrame; }")
    assert page.evaluate(READ_BOTH, {"index": 9, "fps": 30, "most_px": 1280}) is None
    told = page.evaluate(FOLLOW, {"truth": TRUTH, "first": 0, "last": 12, "marked": True, "stop_at": 0})
    for name in TRUTH[0]:
        assert max(far(told["tracks"], name).values()) < 2


def test_two_frames_are_alike_only_when_they_lie_the_same_way(film: Open) -> None:
    page = film("kicks.webm")
    told = page.evaluate("""async () => {
      const { isAlike } = await import("/js/video/luma.js");
      await reader.seekFrame(video, 3, 30);
      const { width, height, data } = reader.greyOf(video, canvas);
      const noisy = data.map((value, at) => 0.86 * value + 16 + (at * 7919 % 11) - 5);
      return [[data, width, height], [noisy, width, height], [data.toReversed(), width, height], [data, height, width]]
        .map(([other, wide, high]) => isAlike({ width, height, data }, { width: wide, height: high, data: other }));
    }""")
    assert told == [True, True, False, False]


def test_a_film_is_drawn_no_wider_than_asked(film: Open) -> None:
    page = film("kicks.webm")
    sizes = page.evaluate("""async () => {
      await reader.seekFrame(video, 3, 30);
      return [undefined, 200].map((most) => {
        const { width, height, data } = reader.greyOf(video, canvas, most);
        return [width, height, data.length, canvas.width];
      });
    }""")
    assert sizes == [[400, 480, 192000, 400], [200, 240, 48000, 200]]
