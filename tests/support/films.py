"""Makes the films of tests/clips again: `python tests/support/films.py`; needs ffmpeg, which no test does."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests")]

from support.swimmer import HEIGHT, WIDTH, Drawing, Film, Loss, truth  # noqa: E402

CLIPS = ROOT / "tests" / "clips"
KICKS = Film(
    seed=9, seconds=2.5, hz=0.9, noise=1.5, blur=1, bubbles=10, shake=4, roll=3, losses=(Loss("knee", 30, 38),)
)
VP9 = ("-c:v", "libvpx-vp9", "-b:v", "0", "-crf", "34", "-g", "30")
# H.264 with frames that refer to later ones, which are stored in another order than shown
H264 = ("-c:v", "libx264", "-bf", "3", "-g", "30", "-crf", "26", "-movflags", "+faststart")
PASSED = ("-fps_mode", "passthrough", "-enc_time_base", "1:1000")
UNEVEN = ("-vf", "settb=1/1000,setpts=floor(N/3)*103+mod(N\\,3)*20+floor(mod(N\\,3)/2)*13", *PASSED)
# As a phone films into the dark: each frame stands a millisecond longer than the one before, the first 17. Phones
# write no frames that refer to later ones; before such, Chromium misses the last frame of a second in such a film.
SLOWING = ("-vf", "settb=1/1000,setpts=17*N+N*(N-1)/2", *PASSED)


def numbered(many: int) -> NDArray[np.uint8]:
    """Frames that carry their number, as eight squares: white for 1, the first counts 1, the next 2, then 4."""
    frames = np.full((many, 96, 160), 128, np.uint8)
    for at in range(many):
        for bit in range(8):
            frames[at, 8:40, 4 + 19 * bit : 20 + 19 * bit] = 235 if at >> bit & 1 else 20
        moving = at * 5 % 140
        frames[at, 60:84, moving : moving + 20] = 200
    return frames


def encode(frames: NDArray[np.uint8], rate: str, name: str, *options: str) -> None:
    """Encode grey frames."""
    size = f"{frames.shape[2]}x{frames.shape[1]}"
    given = ("-f", "rawvideo", "-pix_fmt", "gray", "-s", size, "-r", rate, "-i", "-")
    command = ["ffmpeg", "-v", "error", "-y", *given, *options, "-pix_fmt", "yuv420p", str(CLIPS / name)]
    subprocess.run(command, input=frames.tobytes(), check=True)


def main() -> None:
    """Write the films, and the truth of the one with the diver."""
    encode(numbered(90), "30000/1001", "numbers.mp4", *H264)
    encode(numbered(90), "60", "numbers.webm", *VP9)
    encode(numbered(60), "30", "uneven.webm", *UNEVEN, *VP9)
    encode(numbered(60), "30", "slowing.webm", *SLOWING, *VP9)
    encode(numbered(60), "30", "slowing.mp4", *SLOWING, *H264, "-bf", "0")
    encode(Drawing(KICKS).frames(), str(KICKS.fps), "kicks.webm", *VP9)
    places = [{name: [round(x, 2), round(y, 2)] for name, (x, y) in spots.items()} for spots in truth(KICKS)]
    (hidden,) = KICKS.losses
    told = {"fps": KICKS.fps, "width": WIDTH, "height": HEIGHT, "hz": KICKS.hz,
            "hidden": {"name": hidden.name, "start": hidden.start, "end": hidden.end}}  # fmt: skip
    rows = ",\n".join(json.dumps(spots) for spots in places)
    (CLIPS / "kicks.json").write_text(f'{json.dumps(told)[:-1]}, "places": [\n{rows}\n]}}\n', encoding="utf-8")


if __name__ == "__main__":
    main()
