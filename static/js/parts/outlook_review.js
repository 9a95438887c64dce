// The review of a block on a rest day: what was dived, how clean by depth, what the diver says of it, what comes next.
import { h } from "../ui/dom.js";
import { count, dayMonth, metres } from "../ui/words.js";
import { daysOf, depths, facts, fold, sheet, table } from "./outlook_words.js";

/** @param {Review} review */
export const reviewName = (review) => `Block ${review.number}, ${review.main}, ${daysOf(review)}`;

/**
 * All blocks, the last one that is over first and open; `form` is the diver's own, null for a student's.
 * @param {Review[]} reviews @param {((review: Review) => HTMLElement) | null} form
 */
export function reviewsPart(reviews, form) {
  if (reviews.length === 0) return null;
  const first = reviews.findLast(({ is_over }) => is_over) ?? reviews.at(-1);
  const others = reviews.filter((one) => one !== first).reverse();
  const whole = (one) => [...reviewFacts(one), health(one), form ? form(one) : own(one), form && toPrint(one)];
  return sheet("reviews", "Review of a block",
    h("h3", null, reviewName(first)), whole(first),
    others.map((one) => fold(`review-${one.number}`, `${reviewName(one)}${underWay(one)}`, whole(one))));
}

/** @param {Review} review */
const underWay = ({ is_over }) => (is_over ? "" : ", under way");

/** What was dived, without a word of health. @param {Review} review */
export function reviewFacts(review) {
  const { best, next } = review;
  return [
    review.says.map((says) => h("p", null, says)),
    facts([
      ["Dives", String(review.dives)],
      ["Days", `${count(review.days, "day")}, ${review.deep_days} with a deep dive`],
      ["Best", best && `${best.discipline} ${metres(best.depth_m)}, ${dayMonth(best.on)}`],
      ["Focus", review.focus.join("; ") || null],
      ["Next block", next && `${next.main}, ${daysOf(next)}`],
    ]),
    review.clean_by_depth.length > 0 && table("Clean dives by depth", ["Depth", "Clean", "95 % interval"],
      review.clean_by_depth.map((row) => [depths(row), `${row.clean} of ${row.of}`, interval(row)])),
  ];
}

// Fewer than ten dives: counts only.
export function interval({ low, high }) {
  if (low === null || high === null) return "too few dives";
  return `${Math.round(low * 100)} to ${Math.round(high * 100)}\u00a0%`;
}

/** @param {Review} review */
function health({ number, health: lines }) {
  return lines.length > 0 && fold(`health-${number}`, "Health in this block", h("ul", null, lines.map((one) =>
    h("li", null, one))));
}

/** @param {{ well: string, change: string }} said */
export function own({ well, change }) {
  return facts([["What went well", well || null], ["What to change", change || null]]);
}

/** @param {Review} review */
function toPrint({ number }) {
  const address = `/boat/outlook?block=${number}&print`;
  return h("p", { class: "actions" },
    h("a", { class: "button button-quiet", href: address }, "Print or share this block"));
}
