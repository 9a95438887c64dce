"""Films of an invented diver on a line, drawn with numpy: where each mark is in each frame is known exactly.

The diver goes down head first, front to the right. Every joint swings as a sine of the kick's rate. The camera shakes
and rolls; the water brings noise, blur and bubbles; a hand, a cloud of bubbles or a strap that slips hides a mark.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

Image = NDArray[np.float32]
Spot = tuple[float, float]
WIDTH, HEIGHT = 400, 480
TRUNK, THIGH, SHANK, FIN = 110.0, 85.0, 80.0, 90.0  # pixels
WATER, SUIT = 135.0, 70.0  # grey levels
MARK = 13  # radius of a strap with its tape
NAMES = ("shoulder", "hip", "knee", "ankle", "fin", "line_top", "line_low")
HIDE = 24  # radius of what hides a mark


@dataclass(frozen=True)
class Loss:
    """What happens to a mark from one frame up to another."""

    name: str
    start: int
    end: int
    how: str = "hand"  # or bubbles, slips, turns


@dataclass(frozen=True)
class Film:
    """What is filmed, and how badly."""

    seed: int = 1
    fps: int = 30
    seconds: float = 4.5
    hz: float = 0.9
    noise: float = 2.0  # grey levels
    blur: int = 0  # times
    bubbles: int = 0
    shake: float = 0.0  # pixels
    roll: float = 0.0  # degrees
    drift: float = 0.0  # pixels per second, downwards: the camera does not keep up
    losses: tuple[Loss, ...] = field(default=())

    @property
    def times(self) -> NDArray[np.float64]:
        return np.arange(round(self.fps * self.seconds)) / self.fps


def angles(film: Film, t: float) -> dict[str, float]:
    """The joints at this moment, in degrees; forward is above nothing."""
    phase = 2 * pi * film.hz * t
    thigh = 3 + 15 * np.sin(phase)
    knee = 24 + 19 * np.sin(phase - 1.9)
    fin = 6 + 24 * np.sin(phase - 2.6)
    trunk = 2 + 3 * np.sin(phase + 2.8)
    return {"trunk": trunk, "thigh": thigh, "knee": knee, "fin": fin}


def on_the_line(film: Film, t: float) -> dict[str, Spot]:
    """The points beside an upright line, before the camera moves."""
    bent = angles(film, t)
    shank = bent["thigh"] - bent["knee"]
    hip = (255 + 6 * np.sin(2 * pi * film.hz * t + 2.5), 250.0)
    knee = ahead(hip, THIGH, bent["thigh"])
    ankle = ahead(knee, SHANK, shank)
    return {
        "shoulder": ahead(hip, -TRUNK, bent["trunk"]), "hip": hip, "knee": knee, "ankle": ankle,
        "fin": ahead(ankle, FIN * 0.65, shank - bent["fin"]), "line_top": (50.0, 90.0), "line_low": (50.0, 390.0),
    }  # fmt: skip


def ahead(start: Spot, length: float, degrees: float) -> Spot:
    """The end of a limb that points up, towards the feet of a diver who goes down, leaning forward by an angle."""
    return (
        float(start[0] + length * np.sin(np.radians(degrees))),
        float(start[1] - length * np.cos(np.radians(degrees))),
    )


def camera(film: Film, t: float) -> tuple[float, float, float]:
    """How the camera is rolled, in degrees, and moved, in pixels: as a hand does, with rates that never repeat."""
    way = [np.sin(2 * pi * rate * t + film.seed + rate) for rate in (0.31, 0.47, 0.73, 1.7, 2.3)]
    right, down = film.shake * (way[1] + 0.4 * way[3]), film.shake * (way[2] + 0.4 * way[4])
    return float(film.roll * way[0]), float(right), float(down + film.drift * t)


def seen(spot: Spot, moved: tuple[float, float, float]) -> Spot:
    """Where the camera sees a point."""
    roll, right, down = np.radians(moved[0]), moved[1], moved[2]
    x, y = spot[0] - WIDTH / 2, spot[1] - HEIGHT / 2
    return (
        float(x * np.cos(roll) - y * np.sin(roll) + WIDTH / 2 + right),
        float(x * np.sin(roll) + y * np.cos(roll) + HEIGHT / 2 + down),
    )


def truth(film: Film) -> list[dict[str, Spot]]:
    """Where each point is, frame by frame."""
    return [
        {name: seen(spot, camera(film, t)) for name, spot in on_the_line(film, t).items()} for t in film.times.tolist()
    ]


def leans(film: Film, t: float) -> dict[str, float]:
    """How each mark is turned: as the limb that it sits on."""
    bent, roll = angles(film, t), camera(film, t)[0]
    shank = bent["thigh"] - bent["knee"]
    turned = {"shoulder": bent["trunk"], "hip": bent["trunk"], "knee": bent["thigh"], "ankle": shank,
              "fin": shank - bent["fin"], "line_top": 0.0, "line_low": 0.0}  # fmt: skip
    return {name: angle + roll for name, angle in turned.items()}


class Drawing:
    """Draws the frames of one film."""

    def __init__(self, film: Film) -> None:
        self.film, self.random = film, np.random.default_rng(film.seed)
        self.places = truth(film)
        self.tapes = {name: tape(self.random) for name in NAMES}
        self.hand = speckle(self.random, 2 * HIDE + 8) * 18 + 95
        self.ground = water(self.random)
        self.rising = self.random.uniform((0, 0, 2, 60), (WIDTH, HEIGHT, 5, 160), (film.bubbles, 4))

    def frames(self) -> NDArray[np.uint8]:
        return np.stack([self.frame(at) for at in range(len(self.places))])

    def frame(self, at: int) -> NDArray[np.uint8]:
        image, spots, t = self.ground.copy(), self.places[at], float(self.film.times[at])
        self.limbs(image, spots, t)
        for name, lean in leans(self.film, t).items():
            self.mark(image, name, spots, lean, at)
        self.hide(image, spots, at)
        self.foam(image, t)
        for _ in range(self.film.blur):
            image = soft(image)
        image += self.random.normal(0, self.film.noise, image.shape)
        return np.clip(np.rint(image), 0, 255).astype(np.uint8)

    def limbs(self, image: Image, spots: dict[str, Spot], t: float) -> None:
        moved = camera(self.film, t)
        limb(image, seen((50, -40), moved), seen((50, 520), moved), 1.5, 60)
        for a, b, wide, grey in (
            ("ankle", "fin", 9, 45), ("knee", "ankle", 11, SUIT), ("hip", "knee", 15, SUIT),
            ("shoulder", "hip", 20, 76),
        ):  # fmt: skip
            limb(image, spots[a], spots[b], wide, grey)

    def mark(self, image: Image, name: str, spots: dict[str, Spot], lean: float, at: int) -> None:
        spot, fade = spots[name], 1.0
        for loss in self.film.losses:
            if loss.name == name and loss.start <= at < loss.end:
                gone = at - loss.start + 1
                if loss.how == "slips":
                    towards = spots["hip" if name != "hip" else "shoulder"]
                    share = 3.0 * gone / np.hypot(towards[0] - spot[0], towards[1] - spot[1])
                    spot = (spot[0] + share * (towards[0] - spot[0]), spot[1] + share * (towards[1] - spot[1]))
                if loss.how == "turns":
                    fade = max(0.0, 1 - gone / 4)
        put(image, self.tapes[name], spot, lean, fade)

    def hide(self, image: Image, spots: dict[str, Spot], at: int) -> None:
        for loss in self.film.losses:
            if loss.start <= at < loss.end and loss.how in ("hand", "bubbles"):
                x, y = spots[loss.name]
                if loss.how == "hand":
                    put(image, self.hand, (x + 3, y - 2), 25.0 + at, 1.0, HIDE)
                else:
                    for dx, dy, wide in self.random.uniform((-18, -18, 3), (18, 18, 8), (70, 3)):
                        limb(image, (x + dx, y + dy), (x + dx, y + dy), wide, float(150 + 6 * wide + dx))

    def foam(self, image: Image, t: float) -> None:
        for x, y, wide, speed in self.rising.tolist():
            spot = (x, (y - speed * t) % HEIGHT)
            limb(image, spot, spot, wide, 205, 0.6)


def speckle(random: np.random.Generator, side: int) -> Image:
    """A texture without direction, two pixels fine, mean 0 and spread 1."""
    grain = random.normal(0, 1, (side, side)).astype(np.float32)
    for _ in range(4):
        grain = soft(grain)
    return (grain - grain.mean()) / grain.std()


def tape(random: np.random.Generator) -> Image:
    """A strap across the limb with a cross of tape on it, twice as fine as a pixel."""
    side = 4 * MARK + 9
    middle = side // 2
    y, x = np.mgrid[:side, :side] - middle
    shape = np.full((side, side), SUIT, np.float32)
    shape[np.abs(y) < 9] = 105
    shape[(np.abs(x - y * random.uniform(-0.5, 0.5)) < 5) | (np.abs(y + x * random.uniform(-0.5, 0.5)) < 4)] = 190
    return soft(soft(shape + 14 * speckle(random, side)))


def water(random: np.random.Generator) -> Image:
    """Brighter above, with faint clouds."""
    clouds = np.kron(random.normal(0, 3, (HEIGHT // 40, WIDTH // 40)), np.ones((40, 40)))
    ground = (WATER + 25 - 50 * np.arange(HEIGHT)[:, None] / HEIGHT + clouds).astype(np.float32)
    for _ in range(6):
        ground = soft(ground)
    return ground


def soft(image: Image) -> Image:
    """Each pixel mixed with its neighbours: a blur of 0.7 pixels."""
    return mixed(mixed(np.pad(image, 1, mode="edge")).T).T


def mixed(image: Image) -> Image:
    """Each row mixed with the rows above and below it."""
    rows = 2 * image[1:-1]
    rows += image[:-2]
    rows += image[2:]
    rows /= 4
    return rows


def limb(image: Image, a: Spot, b: Spot, wide: float, grey: float, cover: float = 1.0) -> None:
    """A round-ended stroke from one point to another, with soft edges."""
    box = boxed(min(a[0], b[0]) - wide, min(a[1], b[1]) - wide, max(a[0], b[0]) + wide, max(a[1], b[1]) + wide)
    y, x = grid(box)
    x, y = x - a[0], y - a[1]
    if a != b:
        way = (b[0] - a[0], b[1] - a[1])
        share = between_0_and_1((x * way[0] + y * way[1]) / (way[0] ** 2 + way[1] ** 2))
        x, y = x - share * way[0], y - share * way[1]
    blend(image, box, between_0_and_1(wide + 0.5 - np.hypot(x, y)) * cover, grey)


def grid(box: tuple[slice, slice]) -> tuple[Image, Image]:
    """The places of a box, as a column and a row: numpy's own grids take longer than what is drawn on them."""
    down, across = (np.arange(side.start, max(side.start, side.stop), dtype=np.float32) for side in box)
    return down[:, None], across[None, :]


def between_0_and_1(values: Image) -> Image:
    return np.minimum(np.maximum(values, 0), 1)  # a third of the time of numpy's clip, thousands of times a film


def put(image: Image, texture: Image, spot: Spot, lean: float, fade: float, radius: int = MARK) -> None:
    """A round piece of texture, turned with its limb; a tape is twice as fine as a pixel, a hand as fine."""
    box = boxed(spot[0] - radius, spot[1] - radius, spot[0] + radius, spot[1] + radius)
    y, x = grid(box)
    x, y = x - spot[0], y - spot[1]
    cover = between_0_and_1(radius + 0.5 - np.hypot(x, y)) * fade
    angle, fine = np.radians(lean), 2 if radius == MARK else 1
    middle = texture.shape[0] // 2
    across = np.clip(middle + fine * (np.cos(angle) * x + np.sin(angle) * y), 0, texture.shape[0] - 1.01)
    down = np.clip(middle + fine * (np.cos(angle) * y - np.sin(angle) * x), 0, texture.shape[0] - 1.01)
    blend(image, box, cover, between(texture, across, down))


def between(texture: Image, x: Image, y: Image) -> Image:
    left, top = x.astype(int), y.astype(int)
    fx, fy = x - left, y - top
    upper = texture[top, left] * (1 - fx) + texture[top, left + 1] * fx
    lower = texture[top + 1, left] * (1 - fx) + texture[top + 1, left + 1] * fx
    return upper * (1 - fy) + lower * fy  # type: ignore[no-any-return]


def boxed(left: float, top: float, right: float, bottom: float) -> tuple[slice, slice]:
    rows = slice(min(HEIGHT, max(0, int(top) - 1)), max(0, min(HEIGHT, int(bottom) + 3)))
    return rows, slice(min(WIDTH, max(0, int(left) - 1)), max(0, min(WIDTH, int(right) + 3)))


def blend(image: Image, box: tuple[slice, slice], cover: Any, grey: Any) -> None:
    image[box] += (grey - image[box]) * cover
