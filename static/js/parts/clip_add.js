// Adds a clip: recorded now, or chosen on the phone. A file that cannot be played is told, and nothing is lost.
import { localDay } from "../clock.js";
import { holdAgain, keepClip } from "../store/clip_files.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put } from "../ui/dom.js";
import { megabytes } from "../ui/words.js";
import { askToKeep } from "./install.js";
import { probe } from "./clip_probe.js";

const FRESH = { who: "", fps: null, steady: null, times: null, slowed: 1, first: null, last: null,
  phase_at: null, mirrored: false, style: null, tracks: null, figures: null, measured: null };

/** The two buttons. @param {{ user: Diver | null, dive: any, added: (clip: Clip) => unknown }} about */
export function addClip(about) {
  return h("section", { class: "sheet", "aria-labelledby": "add-head" },
    h("h2", { id: "add-head" }, about.dive ? "Add a clip of this dive" : "Add a clip"),
    h("div", { class: "actions clip-add" },
      picker("record", "Record a clip", { capture: "environment" }, (file) => take(file, about)),
      picker("choose", "Choose a clip", {}, (file) => take(file, about))),
    h("div", { id: "add-says", role: "status" }));
}

/** A button that opens the phone's own choice of files. */
export function picker(id, words, more, taken) {
  const input = h("input", { type: "file", id: `${id}-file`, accept: "video/*", hidden: true, ...more,
    "aria-label": words, change: () => {
      const [file] = input.files;
      input.value = ""; // the same file can be chosen again
      if (file) taken(file);
    } });
  return [h("button", { type: "button", id, click: () => input.click() }, words), input];
}

async function take(file, { user, dive, added }) {
  say(h("p", null, `Looking at ${file.name}, ${megabytes(file.size)} …`));
  try {
    const { bad, ...found } = await probe(file);
    if (bad) return say(h("div", { class: "news", id: "bad-clip" }, h("p", null, h("strong", null, file.name)),
      h("p", null, bad)));
    const date = dive?.date ?? localDay(file.lastModified);
    const clip = await keepClip(file,
      { ...FRESH, ...found, user: user?.id ?? null, dive: dive?.id ?? null, date });
    askToKeep();
    await added(clip);
  } catch (error) {
    console.error(error);
    say();
    warn("The clip was NOT kept: this phone's storage does not answer. The file is where it was.");
  }
}

function say(...words) {
  put(byId("add-says"), ...words);
}

/** Asks for the file of a clip of which the phone has only a note. @param {Clip} clip @param {() => unknown} found */
export function askAgain(clip, found) {
  const taken = (file) => (holdAgain(clip, file) ? found()
    : put(byId("again-says"), h("p", null, `That is another file. Choose ${clip.name}, ${megabytes(clip.size)}.`)));
  return h("div", { class: "news" },
    h("p", null, `There was no room to keep ${clip.name} (${megabytes(clip.size)}): choose the file once more. ` +
      "Marks and figures are still here."),
    h("div", { class: "actions" }, picker("again", "Choose it again", {}, taken)),
    h("div", { id: "again-says", role: "status" }));
}
