// Technique on video: the clips of this phone by day or of one dive, and one clip or two of them to play and measure.
import { addClip } from "../parts/clip_add.js";
import { clipList, clipPage, storageWords } from "../parts/clip_list.js";
import { TECHNIQUE } from "../parts/clip_words.js";
import { figureLines } from "../parts/figures.js";
import { dropClip, roomLeft } from "../store/clip_files.js";
import { clipsHere, clipsOf } from "../store/clips.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { diveName, shortDay } from "../ui/words.js";
import { startBoat } from "./boat.js";

let asked = new URLSearchParams(location.search);
let open = false; // a clip that is being played is not drawn anew by an answer of the server

startBoat(draw);
addEventListener("popstate", () => location.reload()); // back from a clip that was just added

async function draw(slate) {
  if (open) return;
  try {
    const clips = await clipsOf(slate.user);
    if (open) return; // another drawing was quicker
    const clip = clips.find(({ id }) => id === asked.get("clip"));
    if (clip) return await drawClip(slate, clips, clip);
    await drawList(slate, clips);
  } catch (error) {
    console.error(error);
    warn("Clips cannot be shown: this window's storage does not answer. The log still works.");
  }
}

async function drawList(slate, clips) {
  const dive = slate.dives.find(({ id }) => id === asked.get("dive"));
  const shown = asked.get("dive") ? clips.filter((clip) => clip.dive === asked.get("dive")) : clips;
  const [here, room] = await Promise.all([clipsHere(), roomLeft()]);
  if (dive) byId("technique-title").textContent = `Clips and figures: ${diveName(dive)}, ${shortDay(dive.date)}`;
  drawAdd(slate, dive);
  redraw(byId("technique"),
    asked.get("clip") && h("p", { class: "news" }, "This clip is not on this phone."),
    h("h2", null, dive ? "Clips of this dive" : "Clips by day"),
    shown.length === 0 && h("p", { id: "no-clips" }, "None on this phone yet."),
    clipList(shown, slate, drop),
    dive && figuresOf(slate, dive),
    h("p", { class: "soft", id: "clip-storage" }, storageWords(here, room)),
    asked.has("dive") && h("p", null, h("a", { class: "button button-quiet", href: "/boat/technique" }, "All clips")),
    h("section", { class: "caution", "aria-label": "Before you film" },
      [TECHNIQUE.whose, ...TECHNIQUE.film].map((words) => h("p", null, words))));
}

// By the log: on a phone that never had the clip too.
function figuresOf({ rows }, { id }) {
  const measured = rows.filter(({ kind, fields, deleted, damaged }) => kind === "measure" && !deleted && !damaged
    && fields.dive === id);
  if (measured.length === 0) return null;
  return h("section", { class: "sheet", id: "dive-figures", "aria-labelledby": "dive-figures-head" },
    h("h2", { id: "dive-figures-head" }, "Figures of this dive"),
    measured.map(({ fields }) => [h("ul", null, figureLines(fields).map((words) => h("li", null, words))),
      fields.note && h("p", { class: "note" }, fields.note)]));
}

// Drawn once: what it says of a file must not go when an answer of the server draws the list anew.
function drawAdd({ user }, dive) {
  const place = byId("technique-add");
  const key = `${user?.id ?? ""} ${dive?.id ?? ""}`;
  if (place.dataset.key !== key) put(place, addClip({ user, dive, added }));
  place.dataset.key = key;
}

// In the same page: a file that found no room is held by it, and by nothing else.
async function added(clip) {
  history.pushState(null, "", clipPage(clip));
  asked = new URLSearchParams(location.search);
  await draw(await readSlate());
  scrollTo(0, 0);
  byId("technique-title").focus();
}

async function drop(clip) {
  try {
    await dropClip(clip.id);
    await draw(await readSlate());
    put(byId("technique-says"), h("p", null, `Deleted from this phone: ${clip.name}.`));
    byId("technique-title").focus();
  } catch (error) {
    console.error(error);
    warn("NOT deleted: this phone's storage does not answer. Try again.");
  }
}

async function drawClip(slate, clips, clip) {
  open = true;
  byId("technique-add").remove();
  const { openClip } = await import("../parts/clip_open.js");
  const other = clips.find(({ id }) => id === asked.get("with")) ?? null;
  await openClip({ slate, clips, clip, other });
}
