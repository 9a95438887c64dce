// One proposal as its diver sees it: who proposes what, from when, and the two answers.
import { instant } from "../clock.js";
import { isEasier, isOpen, proposalDays, proposalWords, settingWords } from "./proposal_words.js";
import { CHANGED, tellHere } from "../store/news.js";
import { newId } from "../store/ids.js";
import { save } from "../store/outbox.js";
import { warn } from "../ui/alarm.js";
import { h } from "../ui/dom.js";
import { NOT_SAVED, diveName, metres, sentence, whenDay } from "../ui/words.js";

const ANSWERED = { accepted: "You accepted it.", declined: "You declined it." };

/** @param {Slate} slate @param {{ record: string, fields: Fields }} row */
export function proposalCard(slate, { record, fields }) {
  const open = isOpen(fields, slate.today);
  const head = `proposal-${record}`;
  return h("section", { class: "sheet", id: `card-${record}`, "aria-labelledby": head },
    h("h2", { id: head }, proposalWords(fields)),
    h("p", { class: "soft" }, [`by ${fields.by || "your coach"}`, proposalDays(fields, slate.today)].filter(Boolean)
      .join(", ")),
    fields.says && h("p", null, sentence(fields.says)),
    dive(slate, fields),
    effect(slate, fields, open),
    fields.what === "setting" && fields.answer === "accepted" && setting(record, fields, slate),
    answers(slate, record, fields, open));
}

/** @param {Slate} slate @param {Fields} fields */
function dive(slate, { what, dive: record }) {
  if (what !== "comment") return null;
  const found = slate.dives.find(({ id }) => id === record);
  if (!found) return h("p", { class: "small" }, "Its dive is not on this phone.");
  return h("p", null, h("a", { class: "button button-quiet", href: `/boat/dive?id=${record}` },
    `${diveName(found)}, ${metres(found.reached_m)}, ${whenDay(found.date, slate.today)}`));
}

/** @param {Slate} slate @param {Fields} fields @param {boolean} open */
function effect(slate, fields, open) {
  if (fields.answer) return h("p", { class: "answered" }, ANSWERED[fields.answer]);
  if (!open) return h("p", { class: "answered" }, "Its days are over.");
  if (isEasier(fields)) {
    const since = fields.date > slate.today ? "It will hold from" : "It holds since";
    return h("p", null, `${since} ${whenDay(fields.date, slate.today)}. Decline it to take it off.`);
  }
  return fields.what === "comment" ? null : h("p", null, "It does nothing until you accept it.");
}

// The plan of a season is changed on shore.
/** @param {string} record @param {Fields} fields @param {Slate} slate */
function setting(record, { setting: name, value, date }, slate) {
  return h("div", { class: "news" },
    h("p", null, `It changes nothing until you save it in the season: ${settingWords(name, value)}, from `
      + `${whenDay(date, slate.today)}. The form is filled in for you. This needs signal.`),
    h("p", { class: "row" },
      h("a", { class: "button", href: `/rulebook/?proposal=${encodeURIComponent(record)}` }, "To the filled-in form")));
}

/** @param {Slate} slate @param {string} record @param {Fields} fields @param {boolean} open */
function answers(slate, record, fields, open) {
  if (fields.answer ? !isEasier(fields) : !open) return null;
  const button = (answer, words, look) => fields.answer !== answer && h("button", { type: "button", class: look,
    id: `${answer}-${record}`, click: () => decide(slate, record, fields, answer) }, words);
  const seen = fields.what === "comment" ? "I have read it" : "Accept";
  return h("p", { class: "actions" }, button("accepted", seen, "button-primary"),
    fields.what !== "comment" && button("declined", "Decline", ""));
}

/** @param {Slate} slate @param {string} record @param {Fields} fields @param {string} answer */
async function decide(slate, record, fields, answer) {
  const user = slate.user?.id ?? null;
  try {
    if (answer === "accepted" && fields.what === "focus") {
      const { date: from, discipline, says, by } = fields;
      const focus = { from, discipline, says, cue: null, set_by: by, logged_at: instant() };
      await save({ kind: "focus", record: newId(), fields: focus, user });
    }
    await save({ kind: "proposal", record, fields: { answer, answered_at: instant() }, user });
    tellHere(CHANGED);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
