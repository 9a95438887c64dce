// The words and numbers of the crew's list, which its pages carry, and how its moments and dives are written.
import { localDay, localMoment } from "../clock.js";
import { diveName, metres } from "../ui/words.js";

const HALF_MS = 30_000;
const carried = document.querySelector("meta[name=crew]")?.getAttribute("content");

/** @type {any} */
export const CREW = JSON.parse(carried ?? '{ "limits": {}, "why": {}, "cannot": {}, "result": {}, "care": [] }');

/** Milliseconds as half minutes since the midnight of a day. @param {number} ms @param {string} date */
export const halfOf = (ms, date) => (ms - localMoment(date, "00:00")) / HALF_MS;

/** Half minutes since midnight as milliseconds. @param {number} half @param {string} date */
export const msOf = (half, date) => localMoment(date, "00:00") + half * HALF_MS;

/** The whole half minute that runs at this moment. */
export const halfNow = (ms) => Math.floor(halfOf(ms, localDay(ms)));

/** `Ana: CWT deep dive, 40 m`. @param {any} turn @param {(person: string) => string} nameOf */
export function turnWords(turn, nameOf) {
  return `${nameOf(turn.person)}: ${diveName(turn)}, ${metres(turn.depth_m)}`;
}

/** The results that a dive of the list may have, [code, words]. @returns {[string, string][]} */
export function results() {
  return Object.entries(CREW.result ?? {}).map(([code, one]) => [code, typeof one === "string" ? one : one.says]);
}
