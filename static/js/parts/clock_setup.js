// What a new dive clock needs to know: whose dive, how deep, its expected times. All of it may be left out.
import { localMoment } from "../clock.js";
import { dayOf } from "../plan/lookups.js";
import { timesOfCard, timesTyped } from "../timing/dive_clock.js";
import { h, put } from "../ui/dom.js";
import { field, input, toggles } from "../ui/fields.js";
import { DISCIPLINES, ROLES, metres, minutes, show } from "../ui/words.js";
import { diveWords, overdueNumbers } from "./clock_words.js";
import { depth, seconds } from "./dive_check.js";
import { isOver, overOf } from "./dive_says.js";
import { HIDDEN, safetyOf } from "./safety_diver.js";

const IN_MINUTES = [1, 2, 3, 5];

/** The dive of today's list with this index as {..., index}, while it is open; null else. @param {Slate} slate */
export function plannedDive(slate, index) {
  const day = dayOf(slate.plan, slate.today);
  if (index === null || !day || isOver(slate)) return null;
  const dive = day.dives[index];
  return dive && dive.done === null ? { ...dive, index: Number(index) } : null;
}

/**
 * The form of a new clock: {element, read()}; `start(official_ms)` is called by a count-down's buttons.
 * @param {Slate} slate @param {any} planned @param {(official_ms: number) => void} start
 * @param {() => void} [startNow] makes the form bring its own button
 */
export function clockSetup(slate, planned, start, startNow) {
  const head = h("div", { class: "clock-head" });
  const form = h("form", { id: "clock-form", submit: (event) => event.preventDefault() });
  const read = () => understood(slate, planned, typedIn(form));
  const changed = () => showHead(head, slate, read());
  form.addEventListener("input", changed);
  const safety = planned ? safetyOf(slate, planned.index) : "";
  put(form, head, field("safety", "Safety diver", input("safety", safety, { maxlength: 80 })),
    startNow && h("p", null, h("button", { type: "button", class: "button-primary", id: "start-other",
      click: startNow }, "Dive started")),
    countDown(slate, start), which(slate, planned));
  changed();
  return { element: form, read };
}

function which(slate, planned) {
  const { discipline = "", role = "deep", target_m } = planned ?? {};
  const seasonal = Object.keys(slate.sheet?.disciplines ?? {});
  const first = planned ? discipline : seasonal[0] ?? "";
  return h("details", { id: "clock-which", class: "sheet what", open: !planned },
    h("summary", null, "Which dive"),
    toggles("radio", "whose", "Whose dive", [["own", slate.user?.name ?? "Own"], ["other", "Somebody else"]], "own"),
    h("div", { id: "clock-other", hidden: true }, field("name", "Name", input("name", "", { maxlength: 80 }))),
    toggles("radio", "discipline", "Discipline", Object.keys(DISCIPLINES).map((code) => [code, code]), first),
    toggles("radio", "role", "Kind of dive", Object.entries(ROLES), role),
    field("target_m", "Target (m)", input("target_m", target_m ? show(target_m) : "", { inputmode: "decimal" })),
    field("total_s", "Expected dive time", input("total_s", "", { inputmode: "decimal", placeholder: "m:ss" }),
      "Like 2:05 or 125. Empty: the times of your own card; for somebody else none."),
    field("leave_s", "Safety diver leaves after", input("leave_s", "", { inputmode: "decimal", placeholder: "m:ss" }),
      "Used with a typed dive time."));
}

function countDown(slate, start) {
  const time = h("input", { type: "time", id: "official", name: "official", step: 1 });
  const said = h("p", { class: "fault", id: "official-says", role: "status", hidden: true });
  const toTime = () => {
    const ms = localMoment(slate.today, time.value.slice(0, 5)) + Number(time.value.slice(6) || 0) * 1000;
    said.hidden = Boolean(time.value) && start(ms) !== false;
    said.textContent = said.hidden ? "" : time.value ? "This time has passed." : "Type a time of day first.";
  };
  return h("fieldset", { class: "toggles", id: "count-down" }, h("legend", null, "Count down to an official time"),
    h("div", { class: "toggle-row" }, IN_MINUTES.map((number) => h("button", { type: "button", class: "button-quiet",
      id: `in-${number}`, "aria-label": `Count down ${number} min`, click: () => start(number) }, `${number} min`))),
    h("label", { for: "official", class: "official" }, "or at the time of day"),
    h("div", { class: "official-row" }, time, h("button", { type: "button", class: "button-quiet", id: "count-to",
      click: toTime }, "Count down")), said);
}

function typedIn(form) {
  const data = new FormData(form);
  const text = (name) => String(data.get(name) ?? "").trim();
  return Object.fromEntries(["whose", "name", "discipline", "role", "target_m", "total_s", "leave_s", "safety"]
    .map((name) => [name, text(name)]));
}

// A typing error never holds up a dive that has begun: what cannot be read counts as not known, and the head says so.
function understood(slate, planned, typed) {
  const isOwn = typed.whose === "own";
  const target_m = depth(typed.target_m) > 0 ? depth(typed.target_m) : null;
  const { discipline, role } = typed;
  const isPlanned = isOwn && planned && planned.discipline === discipline && planned.role === role &&
    planned.target_m === target_m;
  const rung = isOwn ? rungOf(slate.sheet, discipline, target_m) : null;
  return { name: isOwn ? "" : typed.name || "Somebody else", discipline, role, target_m,
    safety: typed.safety, plan: isPlanned ? planned.index : null, ...timesOf(typed, rung) };
}

// No card is deeper than the dive; beyond the ladder's end there is none.
function rungOf(sheet, discipline, target_m) {
  const rungs = sheet?.disciplines[discipline]?.rungs ?? [];
  if (target_m === null || target_m > rungs.at(-1)?.depth_m) return null;
  return rungs.findLast((rung) => rung.depth_m <= target_m && rung.card) ?? null;
}

function timesOf({ total_s, leave_s }, rung) {
  const total = seconds(total_s);
  const leave = seconds(leave_s);
  if (total > 0) return { times: timesTyped({ total_s: total, leave_s: leave > 0 ? leave : null }, overdueNumbers) };
  return { times: rung ? timesOfCard(rung) : null };
}

function showHead(head, slate, dive) {
  const isOwn = dive.name === "";
  const isHidden = dive.plan !== null && dive.role === "deep" && !dive.safety;
  head.ownerDocument.getElementById("clock-other")?.toggleAttribute("hidden", isOwn);
  const { times } = dive;
  const words = isHidden ? `${diveWords({ ...dive, target_m: null })}, ${HIDDEN}` : diveWords(dive);
  put(head, h("p", { class: "clock-which" }, [dive.name, words].filter(Boolean).join(": ")),
    isOwn && isOver(slate) && h("p", { class: "flag" }, overOf(slate, slate.today) ?? slate.plan.stand_down.why),
    isHidden ? null : times ? figures(times) : h("p", null,
      "No expected times are known: the clock only counts up and never calls overdue."),
    !isHidden && times?.depth_m && times.depth_m !== dive.target_m && h("p", { class: "flag" },
      `Times are those of the card for ${metres(times.depth_m)}: expect a little more.`));
}

function figures({ leave_s, total_s, overdue_s }) {
  return h("dl", { class: "clock-figures" },
    [["Safety leaves", leave_s], ["Surface", total_s], ["Overdue", overdue_s]].filter(([, at_s]) => at_s !== null)
      .map(([words, at_s]) => h("div", null, h("dt", null, words), h("dd", null, minutes(at_s)))));
}
