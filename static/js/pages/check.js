// The check at the line before the first deep dive: line, safety divers, gear; each touch is saved at once.
import { BOAT } from "../labels.js";
import { sayOfDay } from "../parts/day_says.js";
import { askSafety, safetyOf } from "../parts/safety_diver.js";
import { itemsOf } from "../plan/check.js";
import { ownWord } from "../plan/day_word.js";
import { dayOf, rungOf } from "../plan/lookups.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId, caution, h, redraw } from "../ui/dom.js";
import { field, input } from "../ui/fields.js";
import { NOT_SAVED, diveName, longDay, metres, whenDay } from "../ui/words.js";
import { startBoat } from "./boat.js";

const TEXT = BOAT.limits?.text;
const MOST = BOAT.limits?.check_items?.max ?? 0;

let slate = null; // as last drawn
let saving = Promise.resolve(); // one after the other: each builds on what the one before has saved

startBoat((now) => {
  slate = now;
  byId("day").textContent = [longDay(now.today), now.sheet?.site.name].filter(Boolean).join(" · ");
  const items = itemsOf(now, now.today);
  const open = deepDives(now);
  const isNamed = (dive) => safetyOf(now, dive.index) !== "";
  redraw(byId("check"),
    open.filter((dive) => !isNamed(dive)).map((dive) => askSafety(now, dive)), // its line would tell its target
    open.length > 0 && isNamed(open[0]) && theLine(now),
    h("section", { class: "sheet", "aria-labelledby": "items-head" },
      h("h2", { id: "items-head" }, `${items.filter((item) => item.done).length} of ${items.length} checked`),
      h("div", { class: "checks" }, items.map((item) => row(item, now.today)))),
    open.filter(isNamed).map((dive) => safety(now, dive)),
    own(items),
    caution(now.sheet?.cautions.card, null));
});

/** @param {Slate} now */
function deepDives({ plan, today }) {
  const day = dayOf(plan, today);
  if (!day || day.over || plan.stand_down) return [];
  return day.dives.map((dive, index) => ({ ...dive, index })).filter(({ role, done }) => role === "deep" && !done);
}

// Line length against the target and the bottom: the numbers that the first item is about.
/** @param {Slate} now */
function theLine(now) {
  const [dive] = deepDives(now);
  const card = dive && rungOf(now.sheet, dive)?.card;
  if (!card) return null;
  const bottom_m = now.sheet.site.bottom_m;
  return h("section", { class: "sheet", "aria-labelledby": "line-head" },
    h("h2", { id: "line-head" }, "The line"),
    h("p", { class: "next" }, h("span", { class: "big" }, metres(card.line_m))),
    h("p", null, `For the ${diveName(dive)}. Bottom at ${metres(bottom_m)}: `,
      h("strong", null, `${metres(card.clearance_m)} above it`), "."));
}

function row({ code, says, done, on, own: isOwn }, today) {
  const touched = ({ target }) => keep(code, target.checked);
  const when = on && on !== today ? ` (${whenDay(on, today)})` : "";
  return h("div", { class: "check" },
    h("label", { class: "toggle" },
      h("input", { type: "checkbox", id: `check-${code}`, checked: done, disabled: Boolean(when), change: touched }),
      h("span", null, `${says}${when}`)),
    isOwn && h("button", { type: "button", class: "button-quiet", "aria-label": `Remove: ${says}`,
      click: () => keepOwn((some) => some.filter((one) => one !== says)) }, "Remove"));
}

/** @param {Slate} now @param {PlannedDive & { index: number }} dive */
function safety(now, dive) {
  return h("p", { class: "sheet" }, `Safety diver for the ${diveName(dive)}: `,
    h("strong", null, safetyOf(now, dive.index)));
}

function own(items) {
  const add = (event) => {
    event.preventDefault();
    const says = byId("own-item").value.trim();
    if (!says || items.some((item) => item.says === says)) return byId("own-item").focus();
    byId("own-item").value = "";
    return keepOwn((some) => [...some, says].slice(0, MOST));
  };
  return h("details", { class: "sheet", id: "own-items" },
    h("summary", null, "Own items"),
    h("form", { novalidate: true, submit: add },
      field("own-item", "One more thing to look at",
        input("own-item", "", { maxlength: TEXT?.max }), "It stays on the list of the days to come."),
      h("button", { id: "add-item" }, "Add it")));
}

function keep(code, isDone) {
  return saved((said) => {
    const others = (said.checked ?? []).filter((one) => one !== code);
    return { checked: isDone ? [...others, code] : others };
  });
}

function keepOwn(change) {
  return saved(() => ({ own_checks: change(itemsOf(slate, slate.today).filter((item) => item.own)
    .map((item) => item.says)) }));
}

function saved(make) {
  saving = saving.then(async () => {
    slate = await readSlate();
    await sayOfDay(slate, slate.today, make(ownWord(slate, slate.today)?.fields ?? {}));
  }).catch((error) => {
    console.error(error);
    warn(NOT_SAVED);
  });
  return saving;
}
