// Sentences: the templates come with the ladder sheet; here they are filled in. Twin of
// webapp/planner/reader/sentences.py.

const DAY_MS = 86400000;

export const MINUTE_S = 60; // also the minutes of an hour

/**
 * The sentence with each {name} replaced.
 * @param {string} template
 * @param {{ [name: string]: string | number }} values
 */
export function fill(template, values) {
  const put = (text, [name, value]) => text.replaceAll(`{${name}}`, () => String(value));
  return Object.entries(values).reduce(put, template);
}

/** An ISO date as `3 May`. @param {string} day @param {Words} words */
export function dateWords(day, words) {
  return `${Number(day.slice(8, 10))} ${words.months[Number(day.slice(5, 7)) - 1]}`;
}

/** The ordinal of a count: `second`; past the end of the list `12.`. @param {number} count @param {Words} words */
export function nth(count, words) {
  return count < words.ordinals.length ? words.ordinals[count] : `${count}.`;
}

/** A number of steps in words: `one step`, `2 steps`. @param {number} count @param {Words} words */
export function steps(count, words) {
  return count === 1 ? words.one_step : fill(words.some_steps, { count });
}

/** A number of clean dives in words. @param {number} count @param {Words} words */
export function cleanDives(count, words) {
  return count === 1 ? words.one_clean_dive : fill(words.some_clean_dives, { count });
}

/** The number of an ISO date in days; the readers compare only differences. @param {string} day */
export function number(day) {
  return Date.parse(day) / DAY_MS;
}

/** A time of day HH:MM in seconds. @param {string} clock */
export function secondsOf(clock) {
  const [hours, minutes] = clock.split(":").map(Number);
  return (hours * MINUTE_S + minutes) * MINUTE_S;
}
