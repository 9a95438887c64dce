// Measuring a clip: mark points on one frame, follow them, see the figures, and save the figures, never the picture.
import { stickFigure } from "../drawings/stick_figure.js";
import { TECHNIQUE } from "./clip_words.js";
import { drawnSize, partOf, rateOf, secondsFrom } from "../plan/clip_frames.js";
import { h, put } from "../ui/dom.js";
import { toggles } from "../ui/fields.js";
import { measuring } from "./clip_core.js";
import { angleDrawing, anglesOf, asKept, figureList, shownFigures } from "./clip_figures.js";
import { marking } from "./clip_marks.js";
import { MOST_PX } from "./clip_player.js";
import { earlierOf, saveForm } from "./clip_save.js";

// The width of a kick in metres is a figure of its own: the log keeps no unit beside it.
const asLogged = (figure) =>
  (figure.code === "kick_amplitude" && figure.unit === "m" ? { ...figure, code: "kick_amplitude_m" } : figure);

const hasTimes = ({ steady, times }) => Boolean(steady || times);
const RATES = ["kick_hz", "pull_hz"];
const say = (name, filled = {}) =>
  Object.entries(filled).reduce((text, [key, value]) => text.replace(`{${key}}`, value), TECHNIQUE[name]);
const number = (name) => TECHNIQUE.number[name].value;

/**
 * The part of the page that measures; `seen(index)` is told of each frame shown, `changed()` of a new start or end.
 * @param {import("./clip_player.js").Player} player @param {{ slate: Slate, clips: Clip[] }} page
 */
export function clipMeasure(player, { slate, clips }) {
  const clip = () => player.state.clip;
  const state = { style: clip().style ?? "kick", marks: null, at: 0, core: null, stop: null };
  const says = h("div", { id: "measure-says", role: "status" });
  const body = h("div");
  const result = h("div", { id: "measured" });
  const element = h("section", { class: "sheet", id: "measure", "aria-labelledby": "measure-head" },
    h("h2", { id: "measure-head" }, "Measure"), says, body, result);
  start();
  if (clip().tracks) showResult();
  return { element, seen, changed };

  function changed() {
    if (!state.marks && !state.stop) start();
  }

  // ---- before

  function start() {
    const { first, last } = partOf(clip());
    const seconds = secondsFrom(first, last, clip());
    if (seconds > number("longest_s"))
      return put(body, h("p", { id: "too-long" }, say("too_long", { longest: number("longest_s") })));
    put(body,
      h("details", { id: "how-to-film" }, h("summary", null, "How to film"),
        TECHNIQUE.film.map((words) => h("p", { class: "small" }, words))),
      h("div", { change: ({ target }) => (state.style = target.value) },
        toggles("radio", "style", "What is on it?",
          Object.entries(TECHNIQUE.style).map(([code, { says: words }]) => [code, words]), state.style)),
      h("p", { class: "actions" },
        h("button", { type: "button", id: "mark", click: mark },
          clip().tracks ? "Mark and follow anew" : "Mark points on this frame")));
  }

  // ---- marking

  async function mark() {
    state.core ??= await measuring();
    await player.stop();
    player.lock(true);
    state.at = player.state.index;
    put(result);
    put(says);
    const { points } = TECHNIQUE.style[state.style];
    begin(points, {}, [
      h("button", { type: "button", id: "follow", class: "button-primary", click: run }, "Follow these points"),
      quiet("unfollow", "Cancel", leave)]);
  }

  function quiet(id, words, click) {
    return h("button", { type: "button", id, class: "button-quiet", click }, words);
  }

  function begin(names, points, buttons) {
    state.marks = marking(player, names, points, { changed: drawMarks, moved });
    put(body, state.marks.element, h("p", { id: "angle-here", class: "number" }),
      h("div", { class: "actions" }, buttons));
    drawMarks();
    player.element.scrollIntoView?.({ block: "nearest" });
    document.getElementById("marks-on")?.focus({ preventScroll: true });
  }

  function drawMarks() {
    draw(state.marks.points, state.marks.state.name);
    const angle = angleOf(state.marks.points);
    const place = document.getElementById("angle-here");
    if (!place) return;
    place.textContent = angle ? `${angle.words} on this frame: ${angle.says}, bend ${180 - angle.value}°` : "";
  }

  // A place without an edge would slide along the limb.
  function moved(name) {
    const { core, marks } = state;
    const frame = core.greyOf(player.video, canvas(), MOST_PX);
    put(says, core.trackable(frame, marks.points[name]) ? null : h("p", { class: "flag" }, say("no_edge")));
  }

  function canvas() {
    state.canvas ??= document.createElement("canvas");
    return state.canvas;
  }

  function leave() {
    state.marks?.end();
    state.marks = null;
    player.lock(false);
    start();
    seen(player.state.index);
    document.getElementById("mark")?.focus();
  }

  // ---- following

  async function run() {
    const { points } = state.marks;
    if (Object.keys(points).length < 3)
      return put(says, h("p", { class: "flag" }, "Mark at least three points first."));
    state.marks.end();
    state.marks = null;
    state.stop = new AbortController();
    put(says);
    waiting();
    try {
      await done(await state.core.follow({ video: player.video, canvas: canvas(), rate: rateOf(clip()), first: state.at,
        last: Math.max(state.at, partOf(clip()).last), marks: points, limbs: limbsOf(points), onProgress, onLost,
        signal: state.stop.signal }));
    } catch (error) {
      if (error.name !== "AbortError") console.error(error);
      put(says, h("p", null, error.name === "AbortError" ? "Stopped. Nothing was changed."
        : "The points could not be followed on this browser. Nothing was lost."));
    } finally {
      state.stop = null;
      state.marks?.end();
      state.marks = null;
      player.lock(false);
      start();
      await player.go(state.at);
    }
  }

  function limbsOf(points) {
    return TECHNIQUE.style[state.style].limbs.filter(([from, to]) => points[from] && points[to]);
  }

  function waiting() {
    put(player.over);
    put(body, h("label", { for: "followed" }, "Following the points"),
      h("progress", { id: "followed", max: 1, value: 0 }),
      h("p", { class: "actions" },
        h("button", { type: "button", id: "stop-following", click: () => state.stop.abort() }, "Cancel")));
    document.getElementById("stop-following").focus();
  }

  function onProgress(share) {
    const bar = /** @type {any} */ (document.getElementById("followed"));
    if (bar) bar.value = share;
  }

  // Nothing is guessed: the diver marks the point anew, or goes on without it.
  function onLost(name, index) {
    player.state.index = index;
    player.dress();
    put(says, h("p", { class: "flag", id: "lost" },
      say("lost", { point: TECHNIQUE.point[name].toLowerCase(), frame: index + 1 })));
    return new Promise((resolve) => {
      const answer = (point) => {
        state.marks?.end();
        state.marks = null;
        state.stop.signal.removeEventListener("abort", cancelled);
        put(says);
        waiting();
        resolve(point);
      };
      const cancelled = () => resolve(null);
      state.stop.signal.addEventListener("abort", cancelled);
      const marked = () => (state.marks.points[name] ? answer(state.marks.points[name])
        : put(says, h("p", { class: "flag" }, "Touch the point on the picture first.")));
      begin([name], {}, [
        h("button", { type: "button", id: "go-on", class: "button-primary", click: marked }, "Go on from here"),
        quiet("without", "Go on without it", () => answer(null)),
        quiet("stop-lost", "Cancel", () => state.stop.abort())]);
      document.getElementById("lost").scrollIntoView(); // the picture stands over what is above it
    });
  }

  // ---- after

  async function done(found) {
    const tracks = found.map((track) => ({ ...track, t_s: track.t_s / (clip().slowed || 1) }));
    player.note({ tracks, style: state.style, figures: figuresOf(tracks) });
    await showResult();
  }

  function figuresOf(tracks, length_m) {
    const about = { style: state.style, smoothing_hz: number("smoothing_hz"), mark_error_px: number("mark_error_px") };
    return state.core.figuresOf(tracks, length_m ? { ...about, length_m, length_of: "line" } : about).map(asLogged);
  }

  async function showResult(length_m = null) {
    const typed = /** @type {any} */ (document.getElementById("figure-note"))?.value ?? "";
    state.core ??= await measuring();
    const one = clip();
    const figures = shownFigures(one.figures ?? [], hasTimes(one));
    const before = clips.filter(({ id, who, style, tracks, date }) => id !== one.id && !who && style === one.style
      && tracks && date <= one.date);
    const earlier = earlierOf(slate, one);
    const angles = anglesOf(one, state.core);
    const turned = state.core.cameraWarning(one.tracks);
    const measureAgain = (length_m) => {
      player.note({ figures: figuresOf(one.tracks, length_m) });
      return showResult(length_m);
    };
    put(result, h("h3", null, "Figures of this clip"),
      turned && h("p", { class: "flag", id: "camera" }, say(turned)),
      hasTimes(one) && !figures.some(({ code }) => RATES.includes(code)) && h("p", { id: "few" }, say("few")),
      angleDrawing(one, angles, { earlier, clips: before, core: state.core }),
      figureList(figures, { date: one.date, earlier }),
      saveForm(player, { slate, figures, by_phase: asKept(angles), measureAgain, length_m, typed }));
    seen(player.state.index);
  }

  function seen(index) {
    if (state.marks || state.stop) return;
    const track = clip().tracks?.find((one) => one.index === index);
    draw(track?.points ?? {});
  }

  function draw(points, chosen) {
    const size = drawnSize(clip(), MOST_PX);
    const angle = angleOf(points);
    player.over.setAttribute("viewBox", `0 0 ${size.width} ${size.height}`);
    put(player.over, stickFigure(points, size, { chosen, mirrored: clip().mirrored, angle }));
  }

  function angleOf(points) {
    const { angle: [from, at, to], angle_says } = TECHNIQUE.style[state.style];
    if (!state.core || !points[from] || !points[at] || !points[to]) return null;
    const value = Math.round(state.core.includedAngle(points[from], points[at], points[to]));
    return { at, value, says: `${value}°`, words: angle_says };
  }
}
