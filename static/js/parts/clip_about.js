// What the phone notes of a clip beside its pictures: the dive, the day, whose it is, and slow motion.
import { h } from "../ui/dom.js";
import { field, input } from "../ui/fields.js";
import { diveName, shortDay, show } from "../ui/words.js";

const SLOWED = [[1, "no"], [2, "2 times slower"], [4, "4 times slower"], [8, "8 times slower"]];
const DIVES = 60;

/** The folded form; each change is kept at once. @param {Clip} clip @param {Slate} slate @param {any} note */
export function aboutClip(clip, slate, note) {
  const newest = slate.dives.toReversed().slice(0, DIVES);
  const linked = slate.dives.find(({ id }) => id === clip.dive);
  const dives = !linked || newest.includes(linked) ? newest : [linked, ...newest];
  const choose = ({ target }) => {
    const dive = slate.dives.find(({ id }) => id === target.value);
    note(dive ? { dive: dive.id, date: dive.date } : { dive: null });
    keep({ dive: dive?.id ?? null, date: dive?.date ?? clip.date });
  };
  const keep = (fields) => Object.assign(clip, fields);
  return h("details", { class: "sheet", id: "about-clip" }, h("summary", null, "About this clip"),
    field("clip-dive", "Of the dive", h("select", { id: "clip-dive", change: choose },
      h("option", { value: "" }, "no dive of the log"),
      dives.map((dive) => h("option", { value: dive.id, selected: dive.id === clip.dive },
        [shortDay(dive.date), dive.at, diveName(dive)].filter(Boolean).join(", "))))),
    field("clip-who", "Diver, if it is not you", input("clip-who", clip.who, { maxlength: 100,
      change: ({ target }) => (note({ who: target.value.trim() }), keep({ who: target.value.trim() })) })),
    field("clip-slowed", "Saved as slow motion", h("select", { id: "clip-slowed",
      change: ({ target }) => note({ slowed: Number(target.value), tracks: null, figures: null }) },
    SLOWED.map(([value, words]) => h("option", { value, selected: value === clip.slowed }, words))),
    "A slow-motion clip plays slower than the diver moved. Reload the page after a change."),
    h("p", { class: "soft small" },
      `${clip.name}, ${clip.width} × ${clip.height}, ` +
      `${show(clip.fps)} frames a second${clip.steady ? "" : ", varying"}.`));
}
