// A crew day as text, to be handed from phone to phone as a file or pasted: a first line, the day as JSON in base64
// (RFC 4648, section 5: messengers change quotes and spaces, but not these signs), and a checksum. Pure.
import { crc32 } from "./crc32.js";

const VERSION = 1;
const HEAD = "lineslate-day";
const WHOLE = /lineslate-day (\d+)\s+([A-Za-z0-9_\s-]*?)\s+crc32 ([0-9a-f]{8})/;
const LINE = 76;
const MOST_CHARACTERS = 2_000_000;
const MOST_PARTS = 2_000;
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;
const MOMENT = /^[0-9T:.,+Z -]{1,40}$/;

/** Why a text is not taken in, in words for the diver. */
export class NotADay extends Error {}

const NOT_ONE = "This is not a crew day of Lineslate.";
const BROKEN = "A part of it is missing or was changed on the way. Send it again, or copy all of it, from the first "
  + "line to the last.";
const NEWER = "It was made by a newer version of Lineslate. Update the app on this phone first.";

/**
 * @typedef {{ record: string, kind: string, rev: number, fields: Fields, deleted: boolean }} TextRow
 * @typedef {Omit<FeedOp, "user" | "state" | "rev">} TextOp
 * @typedef {{ feed: string, title: string, date: string, by: string, rows: TextRow[], ops: TextOp[] }} DayText
 */

/** A crew day as text. @param {DayText} day */
export function dayText(day) {
  const bytes = new TextEncoder().encode(JSON.stringify(day));
  const body = base64(bytes).match(new RegExp(`.{1,${LINE}}`, "g")) ?? [];
  return [`${HEAD} ${VERSION}`, ...body, `crc32 ${crc32(bytes)}`, ""].join("\n");
}

/** The crew day in a text, wherever it stands in it; throws NotADay. @param {string} text @returns {DayText} */
export function readDayText(text) {
  if (text.length > MOST_CHARACTERS || !text.includes(`${HEAD} `)) throw new NotADay(NOT_ONE);
  const [, version, body, sum] = WHOLE.exec(text) ?? [];
  if (Number(version ?? /lineslate-day (\d+)/.exec(text)?.[1]) > VERSION) throw new NotADay(NEWER);
  if (!version) throw new NotADay(BROKEN);
  const bytes = bytesOf(body.replace(/\s/g, ""));
  if (bytes === null || crc32(bytes) !== sum) throw new NotADay(BROKEN);
  return checked(new TextDecoder().decode(bytes));
}

function checked(json) {
  try {
    const day = JSON.parse(json);
    if (isDay(day)) return day;
  } catch (error) {
    console.warn(error);
  }
  throw new NotADay(NOT_ONE);
}

function isDay(day) {
  const lists = [day?.rows, day?.ops];
  return isId(day?.feed) && [day.title, day.date, day.by].every((one) => typeof one === "string")
    && lists.every((list) => Array.isArray(list) && list.length <= MOST_PARTS)
    && day.rows.every((row) => isRecord(row) && isCount(row.rev) && typeof row.deleted === "boolean")
    && day.ops.every(isOp);
}

const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
const isId = (value) => typeof value === "string" && UUID.test(value);
const isCount = (value) => Number.isInteger(value) && value >= 0 && value <= 1e9;
const isRecord = (one) => isObject(one) && isId(one.record) && typeof one.kind === "string" && isObject(one.fields);

function isOp(op) {
  return isRecord(op) && isId(op.op) && isId(op.feed) && ["put", "delete"].includes(op.action) && isCount(op.base)
    && isCount(op.n) && typeof op.by === "string" && typeof op.made_at === "string" && MOMENT.test(op.made_at);
}

/** @param {Uint8Array} bytes */
function base64(bytes) {
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** @param {string} text @returns {Uint8Array | null} */
function bytesOf(text) {
  try {
    return Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (one) => one.charCodeAt(0));
  } catch {
    return null;
  }
}
