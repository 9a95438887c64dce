"""A film is stepped through in WebKit and Firefox: each frame that is asked for is the one that is shown, and read."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from engines.conftest import ENGINES, noon_zone
from support.static_files import serving_static

ROOT = Path(__file__).parents[2]
ORDER = [0, 1, 2, 3, 4, 5, 6, 7, 89, 88, 45, 45, 44, 17, 60, 61, 62, 0, 31, 30, 29]
# From the 10th on: WebKit takes each frame of this WebM for a thirtieth of a second, whatever comes next.
SLOWING = [10, 11, 12, 13, 59, 58, 30, 29, 28, 10, 11, 11, 40]
UNEVEN = [0, 1, 2, 3, 4, 5, 59, 58, 30, 29, 28, 10, 11, 11, 40]
READ = """async (name, fps, order) => {
  const { seekFrame, greyOf } = await import("/static/js/video/stepping.js");
  const { filmTimes } = await import("/static/js/video/film_times.js");
  const { frameReader } = await import("/static/js/video/frames.js");
  const { greyFromLuma } = await import("/static/js/video/luma.js");
  const video = Object.assign(document.createElement("video"), { muted: true, playsInline: true, preload: "auto" });
  const canvas = document.createElement("canvas");
  document.documentElement.append(video);
  const clip = await (await fetch(`/tests/clips/${name}`)).blob();
  await new Promise((resolve, reject) => {
    Object.assign(video, { onloadeddata: resolve, onerror: () => reject(new Error(video.error.message)) });
    video.src = URL.createObjectURL(clip);
  });
  const rate = Number(fps) || (await filmTimes(clip)).times;
  const [frames, shown, read] = [frameReader(video, canvas), [], []];
  const number = ({ width, data }) => [0, 1, 2, 3, 4, 5, 6, 7]
    .reduce((sum, at) => sum + (data[24 * width + 12 + 19 * at] > 128) * 2 ** at, 0);
  const blue = ({ width, height, data }) => ({ width, height, data: data.filter((_, at) => at % 4 === 2) });
  for (const index of JSON.parse(order)) {
    await seekFrame(video, index, rate);
    shown.push(number(greyOf(video, canvas)));
    const frame = await frames.read();
    read.push(number(frame.drawn ? greyFromLuma(frame) : blue(frame)));
  }
  return { shown, read };
}"""


def test_each_frame_that_is_asked_for_is_the_one_that_is_shown(engine: str, tmp_path: Path, moment: datetime) -> None:
    with (
        serving_static(ROOT) as address,
        ENGINES[engine](tmp_path, noon_zone(moment)) as opened,
        opened() as browser,
    ):
        browser.go(f"{address}/static/css/base.css")
        assert browser.ask(READ, "numbers.webm", "60", str(ORDER)) == {"shown": ORDER, "read": ORDER}
        assert browser.ask(READ, "uneven.webm", "", str(UNEVEN)) == {"shown": UNEVEN, "read": UNEVEN}
        assert browser.ask(READ, "slowing.webm", "", str(SLOWING)) == {"shown": SLOWING, "read": SLOWING}
