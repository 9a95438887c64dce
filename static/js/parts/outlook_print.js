// One block on a page of its own, to be printed or shared as text; what it says of health stays out unless wanted.
import { h, put } from "../ui/dom.js";
import { dayMonth, metres, sentence } from "../ui/words.js";
import { interval, own, reviewFacts, reviewName } from "./outlook_review.js";
import { daysOf, depths } from "./outlook_words.js";

/**
 * @param {{ review: Review, season: string, name: string, said: { well: string, change: string } }} block
 */
export function printPart(block) {
  const { review, said } = block;
  const places = { health: h("div", { id: "print-health" }), outcome: h("p", { role: "status", id: "shared-says" }) };
  const without = h("input", { type: "checkbox", id: "without-health", checked: true, change: () => draw() });
  const draw = () => put(places.health, without.checked ? null : healthLines(review));
  const text = () => reviewText(block, !without.checked);
  return [
    h("p", { class: "soft" }, [block.name, block.season].filter(Boolean).join(", ")),
    ...reviewFacts(review),
    own(said),
    places.health,
    h("div", { class: "no-print" },
      h("label", { class: "tick" }, without, "Leave out health detail"),
      h("p", { class: "hint" }, "Your own words stay as you wrote them."),
      h("p", { class: "actions" },
        typeof window.print === "function" && h("button", { type: "button", id: "print", click: () => window.print() },
          "Print"),
        h("button", { type: "button", id: "share-text", click: () => share(text(), places.outcome) },
          navigator.share ? "Share as text" : "Copy as text"),
        h("a", { class: "button button-quiet", href: "/boat/outlook" }, "Back")),
      places.outcome),
  ];
}

/** @param {Review} review */
function healthLines({ health }) {
  return [h("h2", null, "Health"), health.length > 0 ? h("ul", null, health.map((one) => h("li", null, one)))
    : h("p", null, "Nothing of health is logged in this block.")];
}

function cleanAt(row) {
  const within = row.low === null ? "" : `, 95 % interval ${interval(row)}`;
  return `Clean at ${depths(row)}: ${row.clean} of ${row.of}${within}.`;
}

/**
 * The block as plain text.
 * @param {{ review: Review, season: string, name: string, said: { well: string, change: string } }} block
 * @param {boolean} withHealth
 */
export function reviewText({ review, season, name, said }, withHealth) {
  const { best, next, focus } = review;
  return [
    reviewName(review),
    [name, season].filter(Boolean).join(", "),
    ...review.says,
    best && `Best: ${best.discipline} ${metres(best.depth_m)}, ${dayMonth(best.on)}.`,
    ...review.clean_by_depth.map(cleanAt),
    focus.length > 0 && `Focus: ${focus.join("; ")}.`,
    said.well && `What went well: ${sentence(said.well)}`,
    said.change && `What to change: ${sentence(said.change)}`,
    next && `Next block: ${next.main}, ${daysOf(next)}.`,
    ...(withHealth ? review.health : []),
  ].filter(Boolean).join("\n").replaceAll("\u00a0", " ");
}

/** @param {string} text @param {HTMLElement} outcome */
async function share(text, outcome) {
  if (navigator.share) return navigator.share({ text }).catch(() => {}); // closing its dialog is no error
  try {
    await navigator.clipboard.writeText(text);
    put(outcome, "Copied.");
  } catch {
    const area = h("textarea", { readonly: true, "aria-label": "The block as text", rows: 8 }, text);
    put(outcome, "Copy it from here:", area); // this browser does not let a page copy
    area.select();
  }
}
