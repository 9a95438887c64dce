// The clips of this phone by day: what each is, how much room it takes, and how it is deleted.
import { grouped } from "../store/groups.js";
import { byId, h } from "../ui/dom.js";
import { count, diveName, longDay, megabytes, minutes } from "../ui/words.js";

let asking = null; // the clip whose deletion waits for its second touch: the list may be drawn anew meanwhile

/** Where a clip is played. */
export function clipPage({ id }, other = null) {
  return `/boat/technique?clip=${encodeURIComponent(id)}${other ? `&with=${encodeURIComponent(other.id)}` : ""}`;
}

/** The name of a clip: its diver, and its dive or its file. @param {Clip} clip @param {Slate} slate */
export function clipName(clip, slate) {
  const dive = slate.dives.find(({ id }) => id === clip.dive);
  return [clip.who, dive ? diveName(dive) : clip.name].filter(Boolean).join(", ");
}

/** Clips by day. @param {Clip[]} clips @param {Slate} slate @param {(clip: Clip) => unknown} drop */
export function clipList(clips, slate, drop) {
  return [...grouped(clips, ({ date }) => date)].map(([day, those]) => [
    h("h3", { class: "log-day" }, h("time", { datetime: day }, longDay(day))),
    h("ul", { class: "rows" }, those.map((clip) => entry(clip, slate, drop))),
  ]);
}

function entry(clip, slate, drop) {
  const about = [minutes(clip.length_s), clip.kept === "reference" ? "not kept, only named" : megabytes(clip.size),
    clip.measured && "figures saved"].filter(Boolean).join(" · ");
  const name = clipName(clip, slate);
  return h("li", { class: "clip-entry", id: `clip-${clip.id}` },
    h("p", null, h("strong", null, name), h("br"), h("span", { class: "soft number" }, about)),
    h("div", { class: "row", id: `acts-${clip.id}` }, acts(clip, name, drop)));
}

function acts(clip, name, drop) {
  const of = () => h("span", { class: "visually-hidden" }, ` ${name}`);
  const say = (id, focus) => () => {
    asking = id;
    byId(`acts-${clip.id}`).replaceChildren(...acts(clip, name, drop));
    byId(`${focus}-${clip.id}`).focus();
  };
  // a clip is nowhere else: the second touch says so, and lies where the first one was not
  if (asking === clip.id) return [
    h("button", { type: "button", id: `keep-${clip.id}`, click: say(null, "drop") }, "Keep it"),
    h("button", { type: "button", id: `drop-now-${clip.id}`, click: () => drop(clip) },
      "Delete it from this phone", of()),
  ];
  return [
    h("a", { class: "button", href: clipPage(clip) }, "Play and measure", of()),
    h("button", { type: "button", class: "button-quiet", id: `drop-${clip.id}`, click: say(clip.id, "keep") },
      "Delete", of()),
  ];
}

/** How much room the clips take. @param {{ count: number, bytes: number }} here @param {number | null} room */
export function storageWords(here, room) {
  const left = room === null ? "" : ` This browser has room for about ${megabytes(room)} more.`;
  return `${count(here.count, "clip")} on this phone, ${megabytes(here.bytes)}.${left}`;
}
