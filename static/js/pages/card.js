// The page with the dive card of one depth of the ladder: which card is asked for, the buttons to the next rungs,
// printing.
import { cardSheet } from "../parts/card_sheet.js";
import { overOf } from "../parts/dive_says.js";
import { focusOn, focusWords } from "../plan/focus.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { DISCIPLINES, metres, sentence, show, standsOut, whenDay } from "../ui/words.js";
import { startBoat } from "./boat.js";

const NOT_TODAY = "Do not dive today";

let asked = fromAddress();

function fromAddress() {
  const query = new URLSearchParams(location.search);
  const depth_m = parseFloat((query.get("depth") ?? "").replace(",", "."));
  return { discipline: query.get("discipline"), depth_m: Number.isFinite(depth_m) ? depth_m : null };
}

startBoat(draw);

function draw(slate) {
  const { sheet } = slate;
  if (!sheet) {
    put(byId("steps"));
    redraw(
      byId("card"),
      h(
        "div",
        { class: "news" },
        h(
          "p",
          null,
          "This phone has no season yet, so there is no dive to prepare. " +
            "It comes with the first sync after you sign in.",
        ),
      ),
    );
    return;
  }
  const { discipline, index, depth_m, notes } = choose(slate);
  const { rungs } = sheet.disciplines[discipline];
  const rung = rungs[index] ?? { depth_m };
  put(
    byId("card-title"),
    `${discipline} `,
    h("span", { class: "big" }, show(rung.depth_m), h("span", { class: "unit" }, " m")),
  );
  byId("card-where").textContent = [
    DISCIPLINES[discipline],
    sheet.site.name,
    nextWords(slate, discipline, rung.depth_m),
  ]
    .filter(Boolean)
    .join(" · ");
  const ended = whyNotToday(slate);
  const focus = focusOn(slate, discipline, slate.today);
  redraw(byId("card"), ways(sheet, discipline, ended), ended && stamp(ended),
    focus && h("p", { class: "focus-line screen-only" }, "Focus: ", h("strong", null, focusWords(focus.fields))),
    [unplanned(slate, discipline, rung), outstanding(slate, discipline, rung), ...notes].filter(Boolean)
      .map((words) => h("p", { class: "flag" }, words)),
    ended && h("p", { class: "stamp-across", "aria-hidden": "true" }, NOT_TODAY),
    index >= 0 && cardSheet(slate, discipline, rung));
  redraw(
    byId("steps"),
    step(slate, discipline, rungs[index - 1], "shallower"),
    !ended && step(slate, discipline, rungs[index + 1], "deeper"),
  );
}

// The rung that the address asks for. A depth between two rungs gets the card of the shallower one: no card is deeper
// than the dive. The index is -1 for a dive above the whole ladder; notes say what was missing.
function choose({ sheet, plan }) {
  const names = Object.keys(sheet.disciplines);
  const has = names.includes(asked.discipline);
  const discipline = has ? asked.discipline : plan?.next?.discipline ?? names[0];
  const { rungs } = sheet.disciplines[discipline];
  const depth_m =
    (has || !asked.discipline ? asked.depth_m : null) ?? currentDepth(plan, discipline) ?? rungs[0].depth_m;
  const index = rungs.findLastIndex((rung) => rung.depth_m <= depth_m);
  const notes = [asked.discipline && !has && `${asked.discipline} has no ladder in this season.`,
    otherCard(rungs, index, depth_m)];
  return { discipline, index, depth_m, notes: notes.filter(Boolean) };
}

// What to say when this depth has no card of its own; the line for it is as much longer as that of any rung.
function otherCard(rungs, index, depth_m) {
  const rung = rungs[index] ?? rungs[0];
  const isLast = index === rungs.length - 1;
  if (rung.depth_m === depth_m) return null;
  if (isLast) return `The ladder ends at ${metres(rung.depth_m)}: there is no card for ${metres(depth_m)}.`;
  const line = metres(depth_m + (rung.card ? rung.card.line_m - rung.depth_m : 0));
  if (index < 0)
    return `The ladder begins at ${metres(rung.depth_m)}: there is no card for ${metres(depth_m)}. ` +
      `Its line is ${line}.`;
  return `The ladder has no rung at ${metres(depth_m)}: this is the card of the next shallower rung, ` +
    `${metres(rung.depth_m)}. For ${metres(depth_m)} set a line of ${line} and expect a little more time.`;
}

function currentDepth(plan, discipline) {
  if (plan?.next?.discipline === discipline) return plan.next.target_m;
  return plan?.disciplines[discipline]?.rung_m ?? null;
}

function nextWords({ plan, today }, discipline, depth_m) {
  const next = plan?.next;
  const isNext = next?.discipline === discipline && next.target_m === depth_m;
  return isNext ? `next deep dive, ${whenDay(next.date, today)}` : null;
}

// Why nobody should dive today, or null. The card says so first, and on paper too.
function whyNotToday(slate) {
  return slate.plan?.stand_down?.why ?? overOf(slate, slate.today);
}

function stamp(why) {
  return h("section", { class: "ended stamp", "aria-labelledby": "stamp-head" },
    h("h2", { id: "stamp-head" }, NOT_TODAY),
    h("p", { class: "over" }, sentence(why)));
}

function unplanned({ plan }, discipline, { depth_m }) {
  const now_m = plan?.disciplines[discipline]?.rung_m ?? depth_m;
  return depth_m > now_m && `Not planned: ${metres(depth_m - now_m)} deeper than the current target.`;
}

// What the dive to this depth reaches when it is the planned one of a coming day.
function outstanding({ plan, today }, discipline, { depth_m }) {
  const found = plan?.days.filter(({ date }) => date >= today).flatMap(({ dives }) => dives).find((dive) =>
    dive.role === "deep" && dive.done === null && dive.discipline === discipline && dive.target_m === depth_m);
  return found && standsOut(found) && sentence(standsOut(found));
}

function ways(sheet, discipline, ended) {
  const names = Object.keys(sheet.disciplines);
  return h("div", { class: "ways no-print" },
    names.length > 1 && h("nav", { "aria-label": "Discipline" }, names.map((name) =>
      h("a", { class: "button button-quiet", id: `way-${name}`, href: `/boat/card?discipline=${name}`,
        "aria-current": name === discipline ? "true" : null }, name))),
    !ended && h("button", { type: "button", class: "button-quiet", id: "print", click: () => window.print() },
      "Print"));
}

function step(slate, discipline, rung, words) {
  const go = () => {
    if (!rung) return;
    asked = { discipline, depth_m: rung.depth_m };
    history.replaceState(null, "", `/boat/card?discipline=${discipline}&depth=${rung.depth_m}`);
    draw(slate);
    byId("card-news").textContent = `Card of ${discipline} ${metres(rung.depth_m)}`;
  };
  const look = words === "deeper" ? "button-quiet" : null;
  return h("button", { type: "button", id: words, class: look, "aria-disabled": rung ? null : "true", click: go },
    h("span", { class: "small" }, words), " ", rung ? metres(rung.depth_m) : "none");
}
