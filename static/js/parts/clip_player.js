// Plays one clip: frame by frame, slowly, a part of it, one kick again and again. Arrow keys are frames.
import { frameAt, frameCount, partOf, rateOf, secondsFrom } from "../plan/clip_frames.js";
import { h, svg } from "../ui/dom.js";
import { loaded } from "./clip_probe.js";

export const MOST_PX = 1280; // a frame is drawn at most this wide: a 4K frame would take a second
const SPEEDS = [["0.25", "¼"], ["0.5", "½"], ["1", "1"]];
const KEYS = { ArrowLeft: -1, ArrowRight: 1, PageUp: -10, PageDown: 10 };

/** @typedef {ReturnType<typeof clipPlayer>} Player */

/**
 * A player of this clip. `changed(fields)` is told what the diver set, `seen(index)` each frame that is shown.
 * @param {Clip} clip @param {string} name
 * @param {{ seekFrame: (video: any, index: number, rate: Rate) => Promise<void>, address: string,
 *   changed: (fields: Partial<Clip>) => void, seen?: (index: number) => void, ended?: () => unknown }} with_
 *   `ended` stands for a player beside another one: what they share has its own buttons
 */
export function clipPlayer(clip, name, { seekFrame, address, changed, seen = () => {}, ended = null }) {
  const video = /** @type {any} */ (h("video", { "aria-label": `Picture of ${name}`, muted: true, playsinline: true }));
  const over = svg("svg", { class: "clip-over", preserveAspectRatio: "none", "aria-hidden": "true" });
  const state = { clip, index: 0, wanted: null, speed: 1, pace: 1, loop: false, playing: false,
    locked: false };
  const parts = controls();
  const stage = h("div", { class: "clip-stage" }, video, over);
  shaped(stage, clip);
  const element = h("div", { class: "clip-player", id: `player-${clip.id}`, role: "group", tabindex: "0",
    "aria-label": `${name}. Arrow keys: one frame`, keydown: onKey },
  stage, parts.all);

  const ready = loaded(video, address).then((well) => well && go(partOf(state.clip).first));
  video.addEventListener("ended", () => atEnd());
  dress();
  return { element, video, over, state, ready, go, step, play, stop, setSpeed, note, dress, lock };

  function controls() {
    const count = h("p", { class: "clip-count number" });
    const bar = h("input", { type: "range", min: 0, max: 0, step: 1, "aria-label": `Frame of ${name}`,
      input: () => (state.playing ? stop(Number(bar.value)) : go(Number(bar.value))) });
    const button = (id, words, click, more = {}) =>
      h("button", { type: "button", id: `${id}-${clip.id}`, click, ...more }, words);
    const playing = button("play", "Play", () => (state.playing ? stop() : play()), { class: "clip-play" });
    const loop = button("loop", "Loop", () => (state.loop = !state.loop, dress()), { class: "button-quiet" });
    const quiet = { class: "button-quiet" };
    const mirror = button("mirror", "Mirror", () => note({ mirrored: !state.clip.mirrored }), quiet);
    const speeds = h("div", { class: "toggle-row clip-speeds", role: "group", "aria-label": `Speed of ${name}` },
      SPEEDS.map(([value, words]) => h("label", { class: "toggle" },
        h("input", { type: "radio", name: `speed-${clip.id}`, value, checked: value === "1",
          change: () => setSpeed(Number(value)) }), h("span", null, words))));
    const steps = h("div", { class: "clip-steps" },
      button("back", "Frame back", () => step(-1)), !ended && playing, button("on", "Frame on", () => step(1)));
    const part = h("div", { class: "row clip-part" },
      button("first", "Start here", () => setPart("first"), quiet),
      button("last", "End here", () => setPart("last"), quiet),
      loop, button("whole", "Whole clip", () => note({ first: null, last: null }), quiet), mirror);
    const all = ended ? [bar, count, steps, mirror] : [bar, count, steps, speeds, part];
    return { all, bar, count, playing, loop, mirror };
  }

  function onKey(event) {
    if (event.target !== element || event.altKey || event.ctrlKey || event.metaKey) return;
    const step_ = KEYS[event.key];
    if (step_) step(step_);
    else if (event.key === "Home") go(partOf(state.clip).first);
    else if (event.key === "End") go(partOf(state.clip).last);
    else if (event.key === " ") state.playing ? stop() : play();
    else return;
    event.preventDefault();
  }

  // Show a frame. While one is looked for, only the newest wish is kept.
  async function go(index) {
    const wish = Math.min(frameCount(state.clip) - 1, Math.max(0, Math.round(index)));
    if (state.wanted !== null) return void (state.wanted = wish);
    state.wanted = wish;
    do {
      state.index = state.wanted;
      dress();
      await seekFrame(video, state.index, rateOf(state.clip));
    } while (state.wanted !== state.index);
    state.wanted = null;
    seen(state.index);
  }

  // While points are being marked, the frame stays.
  function lock(locked) {
    if (state.playing) stop();
    state.locked = locked;
    element.classList.toggle("locked", locked);
  }

  function step(frames) {
    if (state.locked) return;
    if (state.playing) stop();
    return go((state.wanted ?? state.index) + frames);
  }

  async function play() {
    const { first, last } = partOf(state.clip);
    if (state.locked) return;
    if (!ended && (state.index >= last || state.index < first)) await go(first);
    state.playing = true;
    video.playbackRate = state.speed * state.pace;
    dress();
    await video.play().catch((error) => {
      if (error.name !== "AbortError") console.error(error);
      stop();
    });
    follow();
  }

  // While it plays, the browser tells which frame is on the screen; older ones are asked often enough.
  function follow() {
    if (!state.playing) return;
    const told = (moment_s) => {
      if (!state.playing) return;
      state.index = frameAt(moment_s, state.clip);
      dress();
      seen(state.index);
      if (state.index >= partOf(state.clip).last) atEnd();
      follow();
    };
    if (video.requestVideoFrameCallback) video.requestVideoFrameCallback((_, { mediaTime }) => told(mediaTime));
    else requestAnimationFrame(() =>
      told(Math.max(0, video.currentTime - (state.clip.times ? 0 : 0.5 / state.clip.fps))));
  }

  async function atEnd() {
    if (!state.playing) return;
    const { first, last } = partOf(state.clip);
    if (ended) return ended();
    if (!state.loop) return stop(last);
    state.playing = false;
    video.pause();
    await go(first);
    return play();
  }

  // Stopping shows exactly the frame whose number stands below it.
  function stop(index = state.index) {
    state.playing = false;
    video.pause();
    return go(index);
  }

  function setSpeed(speed) {
    state.speed = speed;
    video.playbackRate = speed * state.pace;
    dress();
  }

  function setPart(end) {
    const part = partOf(state.clip);
    part[end] = state.index;
    const { first, last } = part;
    note(first <= last ? { first, last } : end === "first" ? { first, last: null } : { first: null, last });
  }

  function note(fields) {
    state.clip = { ...state.clip, ...fields };
    changed(fields);
    dress();
  }

  function dress() {
    const { first, last } = partOf(state.clip);
    const { bar, count, playing, loop, mirror } = parts;
    const end = frameCount(state.clip) - 1;
    const part = first > 0 || last < end ? ` · part ${first + 1} to ${last + 1}` : "";
    const seconds = secondsFrom(0, state.index, state.clip).toFixed(2);
    count.textContent = `Frame ${state.index + 1} of ${end + 1} · ${seconds} s${part}`;
    Object.assign(bar, { max: String(end), value: String(state.index) });
    bar.setAttribute("aria-valuetext", `Frame ${state.index + 1} of ${end + 1}`);
    playing.textContent = state.playing ? "Stop" : "Play";
    loop.setAttribute("aria-pressed", String(state.loop));
    mirror.setAttribute("aria-pressed", String(state.clip.mirrored));
    element?.classList.toggle("mirrored", state.clip.mirrored);
  }
}

/** Give a place the shape of a clip's picture; a tall one leaves room for the buttons below it. */
export function shaped(stage, { width, height }) {
  stage.style.aspectRatio = `${width} / ${height}`;
  stage.style.setProperty("--shape", String(width / height));
}
