// Taking in a crew day from another phone: a file, or pasted text. What was pasted stays until it was taken in.
import { NotADay, readDayText } from "../plan/day_file.js";
import { h, put } from "../ui/dom.js";
import { field } from "../ui/fields.js";
import { count } from "../ui/words.js";

const MOST_BYTES = 4_000_000;

/**
 * The form that takes a day in; `take(day)` writes it and tells how much of it was new.
 * @param {(day: import("../plan/day_file.js").DayText) => Promise<import("../store/handed.js").Taken>} take
 * @param {HTMLElement} says where the result is told
 */
export function takeForm(take, says) {
  const pasted = /** @type {HTMLTextAreaElement} */ (h("textarea", { id: "take-text", rows: 3, spellcheck: "false",
    autocapitalize: "off" }));
  const takeIn = async (text) => {
    put(says, h("p", null, "Reading …"));
    put(says, await taken(take, text));
    return says.querySelector(".alarm") === null;
  };
  const open = async ({ target }) => {
    const [file] = target.files;
    if (!file) return;
    await takeIn(file.size > MOST_BYTES ? "" : await file.text());
    target.value = "";
  };
  const paste = async () => {
    if (await takeIn(pasted.value)) pasted.value = "";
  };
  const form = h("section", { class: "sheet", "aria-labelledby": "take-head" },
    h("h2", { id: "take-head" }, "Take in a day from another phone"),
    field("take-file", "Open a received file", h("input", { type: "file", id: "take-file", change: open })),
    field("take-text", "Or paste the text", pasted),
    h("button", { type: "button", id: "take-paste", click: paste }, "Take in the text"));
  return { form, takeIn };
}

async function taken(take, text) {
  try {
    const day = readDayText(text);
    const { changes, records, dives } = await take(day);
    if (changes + records + dives === 0) return h("p", { class: "news" }, "Nothing new: this phone has all of it.");
    const parts = [changes && count(changes, "change"), records && count(records, "record"),
      dives && `${count(dives, "dive")} logged for you`].filter(Boolean);
    return h("p", { class: "news" }, `Taken in from ${day.by || "another phone"}: ${parts.join(", ")}.`);
  } catch (error) {
    if (error instanceof NotADay) return h("p", { class: "alarm" }, error.message);
    console.error(error);
    return h("p", { class: "alarm" }, "NOT taken in: this phone's storage does not answer. Try again.");
  }
}
