// What the diver says of a block: two texts, saved as a record like any other.
import { BOAT } from "../labels.js";
import { reviewId, written } from "../plan/review.js";
import { save } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId, h } from "../ui/dom.js";
import { field } from "../ui/fields.js";
import { NOT_SAVED } from "../ui/words.js";

const MOST = BOAT.limits?.note?.max;
const forms = new Map(); // by block; drawn once, so that a sync never changes a form in use

/**
 * The form of a block; filled in anew as long as nobody has typed into it.
 * @param {Slate} slate @param {Review} review @returns {HTMLFormElement}
 */
export function reviewForm(slate, review) {
  const { number } = review;
  if (!forms.has(number)) forms.set(number, newForm(review));
  const form = forms.get(number);
  if (!form.contains(document.activeElement)) fillIn(form, written(slate.rows, review));
  return form;
}

/** @param {HTMLFormElement} form @param {{ well: string, change: string }} said */
function fillIn(form, said) {
  for (const area of form.querySelectorAll("textarea")) {
    if (area.value !== area.defaultValue) continue; // typed, and not saved yet
    area.defaultValue = said[area.name];
    area.value = said[area.name];
  }
}

/** @param {Review} review */
function newForm(review) {
  const { number } = review;
  const area = (name, words) => field(`${name}-${number}`, words,
    h("textarea", { id: `${name}-${number}`, name, maxlength: MOST, rows: 3 }));
  const submit = (event) => {
    event.preventDefault();
    return keep(review);
  };
  return h("form", { id: `review-form-${number}`, novalidate: true, submit },
    area("well", "What went well"),
    area("change", "What to change"),
    h("div", { class: "actions" }, h("button", { id: `keep-${number}` }, "Save"),
      h("span", { id: `kept-${number}`, role: "status" })));
}

/** @param {Review} review */
async function keep(review) {
  const { number, last_day } = review;
  const form = byId(`review-form-${number}`);
  const areas = [...form.querySelectorAll("textarea")];
  const said = Object.fromEntries(areas.map(({ name, value }) => [name, value.trim()]));
  byId(`kept-${number}`).textContent = "";
  try {
    const { user, rows } = await readSlate();
    const record = written(rows, review).record ?? reviewId(user?.id, last_day);
    const fields = { date: last_day, ...said };
    await save({ kind: "review", record, fields, user: user?.id ?? null });
    for (const area of areas) area.defaultValue = said[area.name];
    byId(`kept-${number}`).textContent = "Saved on this phone.";
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
