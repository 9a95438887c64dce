// Marks on one frame: touched on the picture under a magnifying glass, moved by buttons or arrow keys, a pixel each.
import { TECHNIQUE } from "./clip_words.js";
import { drawnSize } from "../plan/clip_frames.js";
import { h, put } from "../ui/dom.js";
import { MOST_PX } from "./clip_player.js";

const GLASS_PX = 160;
const ZOOM = 4; // drawn pixels
const MOVES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const FAR = 10; // pixels, with the shift key

/**
 * Lets the diver set points on the player's frame. `changed(name)` is told of each move, `moved(name)` when it ended.
 * @param {import("./clip_player.js").Player} player @param {string[]} names @param {Points} points
 * @param {{ changed: () => void, moved: (name: string) => void }} tell
 */
export function marking(player, names, points, { changed, moved }) {
  const size = drawnSize(player.state.clip, MOST_PX);
  const glass = /** @type {any} */ (h("canvas", { class: "clip-glass", width: GLASS_PX, height: GLASS_PX, hidden: true,
    "aria-hidden": "true" }));
  const surface = h("div", { class: "clip-surface", id: "marks-on", tabindex: "0", role: "group",
    "aria-label": "Marks on the picture. Arrow keys move the chosen point, Enter goes to the next one",
    keydown: onKey, pointerdown: onDown, pointermove: onMove, pointerup: onUp, pointercancel: onUp });
  const state = { name: names.find((name) => !points[name]) ?? names[0], held: false };
  const places = h("div", { class: "row clip-points", role: "group", "aria-label": "Points" });
  const element = h("div", { class: "clip-marks" }, places, nudges(),
    h("p", { class: "hint" }, "Touch the picture where the point is, then move it by single pixels if needed."));
  player.element.querySelector(".clip-stage").append(surface, glass);
  drawPlaces();
  return { element, state, points, choose, end };

  function drawPlaces() {
    put(places, names.map((name) => h("button", { type: "button", id: `point-${name}`, class: "button-quiet",
      "aria-pressed": String(name === state.name), click: () => choose(name) },
    `${points[name] ? "✓ " : ""}${TECHNIQUE.point[name]}`)));
  }

  function choose(name) {
    const focused = document.activeElement?.id;
    state.name = name;
    drawPlaces();
    document.getElementById(focused)?.focus();
    changed();
  }

  function nudges() {
    const button = (words, says, key) => h("button", { type: "button", "aria-label": says, id: `move-${key}`,
      click: () => move(...MOVES[`Arrow${key}`]) }, words);
    return h("div", { class: "clip-nudges", role: "group", "aria-label": "Move the chosen point by one pixel" },
      button("←", "One pixel left", "Left"), button("→", "One pixel right", "Right"),
      button("↑", "One pixel up", "Up"), button("↓", "One pixel down", "Down"),
      names.length > 1 && h("button", { type: "button", id: "next-point", click: next }, "Next point"),
      h("button", { type: "button", id: "unmark", class: "button-quiet", click: unmark }, "Remove"));
  }

  function unmark() {
    delete points[state.name];
    drawPlaces();
    changed();
  }

  // Left is left on the screen, in a mirrored picture too.
  function move(right, down, far = 1) {
    const from = points[state.name] ?? { x: Math.round(size.width / 2), y: Math.round(size.height / 2) };
    const turn = player.state.clip.mirrored ? -1 : 1;
    set({ x: from.x + right * turn * far, y: from.y + down * far });
    moved(state.name);
  }

  function set({ x, y }) {
    points[state.name] = { x: Math.min(size.width - 1, Math.max(0, x)), y: Math.min(size.height - 1, Math.max(0, y)) };
    changed();
  }

  function onKey(event) {
    if (MOVES[event.key]) move(...MOVES[event.key], event.shiftKey ? FAR : 1);
    else if (event.key === "Enter") next();
    else return;
    event.preventDefault();
    event.stopPropagation();
    drawPlaces();
  }

  function next() {
    choose(names.find((name) => !points[name]) ?? names[(names.indexOf(state.name) + 1) % names.length]);
  }

  function onDown(event) {
    state.held = true;
    surface.setPointerCapture(event.pointerId);
    surface.focus({ preventScroll: true });
    onMove(event);
    event.preventDefault();
  }

  function onMove(event) {
    if (!state.held) return;
    const box = surface.getBoundingClientRect();
    const across = (event.clientX - box.left) / box.width;
    const x = (player.state.clip.mirrored ? 1 - across : across) * size.width;
    set({ x, y: ((event.clientY - box.top) / box.height) * size.height });
    look(across < 0.5);
  }

  function onUp() {
    if (!state.held) return;
    state.held = false;
    glass.hidden = true;
    drawPlaces();
    moved(state.name);
  }

  // The glass stands on the other side than the finger.
  function look(right) {
    const { x, y } = points[state.name];
    const { video } = player;
    const scale = video.videoWidth / size.width, part = GLASS_PX / ZOOM;
    const pen = glass.getContext("2d");
    pen.fillRect(0, 0, GLASS_PX, GLASS_PX);
    pen.drawImage(video, (x - part / 2) * scale, (y - part / 2) * scale, part * scale, part * scale,
      0, 0, GLASS_PX, GLASS_PX);
    for (const [wide, colour] of [[3, "black"], [1, "white"]]) cross(pen, wide, colour);
    glass.hidden = false;
    glass.classList.toggle("at-right", right);
  }

  function end() {
    surface.remove();
    glass.remove();
    element.remove();
  }
}

function cross(pen, wide, colour) {
  const middle = GLASS_PX / 2;
  Object.assign(pen, { lineWidth: wide, strokeStyle: colour });
  pen.beginPath();
  for (const [from, to] of [[0, middle - 8], [middle + 8, GLASS_PX]]) {
    pen.moveTo(from, middle);
    pen.lineTo(to, middle);
    pen.moveTo(middle, from);
    pen.lineTo(middle, to);
  }
  pen.stroke();
}
