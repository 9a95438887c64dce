// One clip, or two side by side: loads their files, finds out the frame rate once, and draws players and measuring.
import { TECHNIQUE } from "./clip_words.js";
import { changeClip, fileOf } from "../store/clip_files.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put } from "../ui/dom.js";
import { NOT_SAVED } from "../ui/words.js";
import { aboutClip } from "./clip_about.js";
import { askAgain } from "./clip_add.js";
import { measuring, stepping } from "./clip_core.js";
import { clipName, clipPage } from "./clip_list.js";
import { clipMeasure } from "./clip_measure.js";
import { clipPair } from "./clip_pair.js";
import { clipPlayer, shaped } from "./clip_player.js";
import { lengthOf, loaded } from "./clip_probe.js";

const GUESS = { fps: 30, steady: false }; // when a browser does not tell: the page says that it varies
const PATIENCE_MS = 10_000;

/** Draw the page of a clip. @param {{ slate: Slate, clips: Clip[], clip: Clip, other: Clip | null }} page */
export async function openClip(page) {
  const { slate, clips, clip, other } = page;
  const all = other ? [clip, other] : [clip];
  byId("technique-title").textContent = other ? "Two clips" : clipName(clip, slate);
  byId("technique-about").hidden = true; // the picture needs the room
  const files = await Promise.all(all.map(fileOf));
  const missing = all.find((_, at) => !files[at]);
  if (missing) return put(byId("technique"), askAgain(missing, () => openClip(page)), toAll());
  const core = await stepping();
  const ready = [];
  for (const [at, one] of all.entries()) ready.push(await withRate(one, files[at], core));
  const players = ready.map(({ clip: one, address }) => ({ clip: one, name: clipName(one, slate), address,
    seekFrame: core.seekFrame, changed: (fields) => note(one.id, fields) }));
  if (other) return put(byId("technique"), clipPair(await withPhases(players)), toAll());
  drawOne(players[0], slate, clips);
}

function drawOne(of, slate, clips) {
  let measure = null;
  const changed = (fields) => {
    measure?.changed();
    return of.changed(fields);
  };
  const player = clipPlayer(of.clip, of.name, { ...of, changed, seen: (index) => measure?.seen(index) });
  measure = clipMeasure(player, { slate, clips });
  const others = clips.filter(({ id }) => id !== of.clip.id);
  put(byId("technique"), player.element,
    !of.clip.steady && h("p", { class: "flag", id: "unsteady" },
      of.clip.times ? TECHNIQUE.uneven : TECHNIQUE.unsteady),
    measure.element,
    h("details", { class: "sheet", id: "compare" }, h("summary", null, "Compare with another clip"),
      others.length === 0 && h("p", null, "There is no other clip on this phone yet."),
      h("ul", { class: "rows" }, others.map((one) => h("li", null,
        h("a", { class: "in-list", href: clipPage(of.clip, one) }, `${one.date}, ${clipName(one, slate)}`))))),
    aboutClip(of.clip, slate, player.note), toAll());
}

// Where both clips were measured, their kicks tell which moment is the same.
async function withPhases(two) {
  if (!two.every(({ clip }) => clip.tracks)) return two;
  const { phases } = await measuring();
  return two.map((of) => ({ ...of, phases: phases(of.clip.tracks, of.clip.style) ?? [] }));
}

function toAll() {
  return h("p", { class: "actions" }, h("a", { class: "button button-quiet", href: "/boat/technique" }, "All clips"));
}

// The frame rate is read from the file, once; where it does not say, by playing a little of the clip.
async function withRate(clip, file, { filmTimes, frameRate }) {
  const address = URL.createObjectURL(file);
  if (clip.fps) return { clip, address };
  const told = await filmTimes(file);
  if (told) await note(clip.id, told);
  if (told) return { clip: { ...clip, ...told }, address };
  const video = /** @type {any} */ (h("video", { muted: true, playsinline: true, "aria-label": "The clip" }));
  const stage = h("div", { class: "clip-stage" }, video);
  shaped(stage, clip);
  put(byId("technique"), h("p", { role: "status" }, "Looking for the frame rate …"),
    stage);
  let found = GUESS;
  if (await loaded(video, address)) {
    await lengthOf(video);
    found = await Promise.race([frameRate(video), later()]).catch((error) => (console.error(error), GUESS));
  }
  const fields = { fps: found.fps || GUESS.fps, steady: Boolean(found.fps && found.steady) };
  await note(clip.id, fields);
  return { clip: { ...clip, ...fields }, address };
}

function later() {
  return new Promise((resolve) => setTimeout(() => resolve(GUESS), PATIENCE_MS));
}

async function note(id, fields) {
  try {
    await changeClip(id, fields);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
