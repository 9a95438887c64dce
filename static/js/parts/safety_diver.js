// Naming the safety diver of a deep dive: its target stays hidden until somebody is named.
import { BOAT } from "../labels.js";
import { write } from "../store/db.js";
import { keyOf } from "../store/keys.js";
import { CHANGED, tell } from "../store/news.js";
import { warn } from "../ui/alarm.js";
import { byId, h } from "../ui/dom.js";
import { field, input } from "../ui/fields.js";
import { NOT_SAVED, diveName, metres } from "../ui/words.js";

const OFFERED = 4; // names that one touch chooses
const NAME = BOAT.limits?.text;

/**
 * Who is safety diver of the planned dive at this place of today's list; "" while nobody is named.
 * @param {Pick<Slate, "kept" | "user" | "today">} slate @param {number} index @returns {string}
 */
export function safetyOf({ kept, user, today }, index) {
  const named = kept[keyOf.safety(user?.id)];
  return named?.date === today ? (named.names[index] ?? "") : "";
}

/** Whether the target of a planned dive is hidden: a deep dive still to be made, without a safety diver. */
export function isHidden(slate, dive, index) {
  return dive.role === "deep" && dive.done === null && safetyOf(slate, index) === "";
}

/** What stands in place of a hidden target. */
export const HIDDEN = "target after the safety diver is named";

/** The target of a planned dive of today in words, or that it is hidden. */
export function targetWords(slate, dive, index) {
  return isHidden(slate, dive, index) ? HIDDEN : metres(dive.target_m);
}

/**
 * The form that names the safety diver of a dive.
 * @param {Slate} slate @param {PlannedDive & { index: number }} dive
 */
export function askSafety(slate, dive) {
  const submit = (event) => {
    event.preventDefault();
    const name = byId("safety").value.trim();
    return name ? nameSafety(slate, dive.index, name) : byId("safety").focus();
  };
  return h("form", { id: "name-safety", class: "news", novalidate: true, submit },
    h("p", null, h("strong", null, `Who is safety diver for the ${diveName(dive)}?`),
      " The target is shown once somebody is named."),
    h("div", { class: "row" }, known(slate).map((name, at) =>
      h("button", { type: "button", id: `safety-${at}`, click: () => nameSafety(slate, dive.index, name) }, name))),
    field("safety", "Another name", input("safety", "", { maxlength: NAME?.max })),
    h("button", { id: "safety-named" }, "Name the safety diver"));
}

/**
 * Who is named, with the way to name somebody else; null while nobody is.
 * @param {Slate} slate @param {PlannedDive & { index: number }} dive
 */
export function namedSafety(slate, { index }) {
  const name = safetyOf(slate, index);
  return name && h("p", { class: "row", id: "named-safety" },
    h("span", null, "Safety diver: ", h("strong", null, name)),
    h("button", { type: "button", class: "button-quiet", id: "rename-safety",
      click: () => nameSafety(slate, index, "") }, "Change"));
}

// Those named last come first.
/** @param {Slate} slate */
function known({ dives, kept, user }) {
  const named = Object.values(kept[keyOf.safety(user?.id)]?.names ?? {});
  const logged = dives.toReversed().map((dive) => dive.safety);
  return [...new Set([...named, ...logged])].filter(Boolean).slice(0, OFFERED);
}

/** @param {Slate} slate @param {number} index @param {string} name */
async function nameSafety({ user, today }, index, name) {
  try {
    await write(["kept"], ({ kept }) => {
      const request = kept.get(keyOf.safety(user?.id));
      request.onsuccess = () => {
        const names = request.result?.date === today ? request.result.names : {};
        kept.put({ date: today, names: { ...names, [index]: name } }, keyOf.safety(user?.id));
      };
    });
    tell(CHANGED);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
