// The morning beside a diver's own mornings. Each item is compared by itself: they are never added into a score.
import { dayAfter } from "../clock.js";

/** The median; of an even count the mean of the two in the middle; null of nothing. @param {number[]} values */
export function median(values) {
  if (values.length === 0) return null;
  const sorted = values.toSorted((one, other) => one - other);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/**
 * What was said of an item on the mornings before `date`, in the days that count.
 * @param {Fields[]} mornings @param {string} date @param {string} item @param {number} days
 */
export function before(mornings, date, item, days) {
  const first = dayAfter(date, -days);
  return mornings.filter((day) => first <= day.date && day.date < date).map((day) => day[item] ?? null)
    .filter((value) => value !== null);
}

/**
 * The items of a morning that are worse than usual, as {item, value, usual}; `ready` has the rulebook's numbers.
 * @param {Fields} morning @param {Fields[]} mornings @param {string[]} items
 * @param {{ worse: number, items: number, days: number, least: number }} ready
 */
export function worse(morning, mornings, items, ready) {
  return items.map((item) => {
    const values = before(mornings, morning.date, item, ready.days);
    return { item, value: morning[item] ?? null, usual: values.length < ready.least ? null : median(values) };
  }).filter(({ value, usual }) => value !== null && usual !== null && value - usual >= ready.worse);
}

/**
 * Whether an easy day is proposed, and not decided yet.
 * @param {Fields} morning @param {{ item: string }[]} found @param {{ items: number }} ready
 */
export function isProposed(morning, found, ready) {
  const decided = morning.easy || morning.not_easy_why || (morning.not_ready ?? []).length > 0;
  return !decided && found.length >= ready.items;
}
