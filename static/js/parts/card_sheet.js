// One dive card: the figures that prepare the dive, the drawing, the same in order of time, and the rest after the
// dive.
import { SIZES, cardLine, happenings } from "../drawings/card_line.js";
import { caution, h } from "../ui/dom.js";
import { metres, minutes, restMinutes, sentence } from "../ui/words.js";
import { rowsAfterNext } from "./pause_rows.js";

const NOT_KNOWN = "not known";

/** The card of one rung, for the screen and for paper. What the sheet does not say is shown as not known. */
export function cardSheet(slate, discipline, rung) {
  const { sheet, season, today } = slate;
  const { card, depth_m } = rung;
  if (!card)
    return [
      h(
        "div",
        { class: "news" },
        h("p", null, "This phone's plan has no dive cards yet. They come with the next sync."),
      ),
    ];
  const rules = rowsAfterNext(ofItsDay(slate, discipline, depth_m), { reached_m: depth_m, dive_s: card.total_s });
  const around = { bottom_m: sheet.site.bottom_m ?? null, pause_s: rules[0]?.seconds ?? null };
  return [
    figures(card, around),
    caution([...card.cautions, ...(sheet.cautions.card ?? [])], null),
    h("div", { class: "drawn screen-only" }, cardLine(rung, around, SIZES.screen)),
    h("div", { class: "drawn print-only" }, cardLine(rung, around, SIZES.print)),
    inOrder(card, depth_m),
    pauses(rules, sheet),
    h("p", { class: "small soft" }, source(sheet, discipline, card, depth_m)),
    paperFoot({ season, today }, rules, sheet),
  ];
}

// The next deep dive may be planned for another day: then today's dives do not count before it.
function ofItsDay(slate, discipline, depth_m) {
  const next = slate.plan?.next;
  const isNext = next?.discipline === discipline && next.target_m === depth_m;
  return isNext && next.date !== slate.today ? { ...slate, dives: [] } : slate;
}

function figures(card, { pause_s }) {
  const rows = [
    ["Line to set", card.line_m, metres],
    ["Above the bottom", card.clearance_m, metres],
    ["Safety diver leaves", card.meet.leave_s, minutes],
    ["Dive takes", card.total_s, minutes],
    ["Overdue after", card.overdue_s, minutes],
    ["Rest after surfacing: at least", pause_s, rest],
  ];
  return h("dl", { class: "figures", id: "figures" }, rows.map(([words, value, write]) =>
    h("div", null, h("dt", null, words),
      h("dd", null, value === null || value === undefined ? NOT_KNOWN : write(value)))));
}

function rest(seconds) {
  const [number, unit] = restMinutes(seconds).split(" ");
  return h("span", { class: "number" }, number, h("small", null, ` ${unit}`));
}

function inOrder(card, depth_m) {
  const marked = card.down.some(([kind]) => kind !== "free_fall");
  return h(
    "section",
    { class: "sheet screen-only", "aria-labelledby": "order-head" },
    h("h2", { id: "order-head" }, "In order of time"),
    h(
      "table",
      { class: "in-order", id: "in-order" },
      h(
        "thead",
        null,
        h(
          "tr",
          null,
          ["Time", "What", "Depth"].map((words) => h("th", { scope: "col" }, words)),
        ),
      ),
      h(
        "tbody",
        null,
        happenings(card, depth_m).map((event) =>
          h(
            "tr",
            null,
            h("td", { class: "number" }, minutes(event.at_s)),
            h("th", { scope: "row" }, event.says),
            h("td", { class: "number" }, event.depth_m === null ? "surface" : metres(event.depth_m)),
          ),
        ),
      ),
    ),
    !marked &&
      h("p", { class: "small soft" }, "No alarm or mouthfill charge on this dive: none is set, or all are deeper."),
  );
}

function pauses(rules, sheet) {
  return h(
    "section",
    { class: "sheet screen-only", "aria-labelledby": "pause-head" },
    h("h2", { id: "pause-head" }, "Rest after surfacing"),
    rules.length === 0
      ? h("p", null, "No rule asks for a rest after this dive.")
      : h(
          "table",
          { class: "pauses" },
          h(
            "caption",
            null,
            "Shortest rest by each rule, for the expected time and after today's dives, in whole minutes rounded up; " +
              "the longest counts",
          ),
          h("thead", null, h("tr", null, h("th", { scope: "col" }, "Rule"), h("th", { scope: "col" }, "Rest"))),
          h(
            "tbody",
            null,
            rules.map((rule) =>
              h(
                "tr",
                null,
                h("th", { scope: "row" }, rule.name),
                h("td", { class: "number" }, `at least ${restMinutes(rule.seconds)}`),
              ),
            ),
          ),
        ),
    caution(sheet.cautions.interval, "About these pauses", "h3"),
  );
}

function source(sheet, discipline, card, depth_m) {
  const speed = sheet.speeds?.[discipline];
  return [
    "Times count from the start and are expected, not promised",
    speed ? `: ${speed}. ` : ". ",
    `At ${metres(depth_m)} of line a gauge shows about ${metres(card.gauge_m)}.`,
  ];
}

// The paper may be older than the plan: it names the site, the season and the day on which it was printed.
function paperFoot({ season, today }, rules, sheet) {
  const by =
    rules.length > 0
      ? `Rest after surfacing: at least ${restMinutes(rules[0].seconds)}, by the longest rule: ${rules[0].name}.`
      : "No rule asks for a rest.";
  return h("div", { class: "print-only paper-foot" },
    (sheet.cautions.interval ?? []).map((words) => h("p", null, sentence(words))),
    h("p", null, `${by} ${[sheet.site.name, season?.name].filter(Boolean).join(", ")}, as of ${today}.`));
}
