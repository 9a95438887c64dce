// Positions as people type and read them: decimal degrees, and degrees with decimal minutes as they are said by radio.

const AXES = {
  latitude: { letters: "NS", most: 90 },
  longitude: { letters: "EW", most: 180 },
};
const DIGITS = 5; // of a degree: about a metre
const FINE = { degrees: 3, minutes: 1 }; // decimals from which a position is the place, to one or two hundred metres
const THOUSANDTHS = 60_000; // of a minute, in a degree
const TYPED = /^([NSEW])?\s*([+-])?(\d{1,3}(?:\.\d+)?)\s*°?\s*(?:(\d{1,2}(?:\.\d+)?)\s*['′’]?\s*)?([NSEW])?$/;

/**
 * Degrees of `43.20575`, `-43.2`, `43.2 S`, `43 12.345 N` or `43°12.345′N`; null for nothing, NaN for anything else.
 * @param {string} text @param {"latitude" | "longitude"} axis
 */
export function parse(text, axis) {
  const typed = text.trim().toUpperCase().replaceAll(",", ".");
  if (typed === "") return null;
  const [, before, sign, degrees, minutes, after] = TYPED.exec(typed) ?? [];
  const { letters, most } = AXES[axis];
  const letter = before ?? after;
  if (degrees === undefined || (before && after) || (letter && (sign || !letters.includes(letter)))) return NaN;
  if (minutes !== undefined && (degrees.includes(".") || Number(minutes) >= 60)) return NaN;
  const size = Number(degrees) + Number(minutes ?? 0) / 60;
  if (size > most) return NaN;
  return size !== 0 && (sign === "-" || letter === letters[1]) ? -size : size;
}

/** Whether a typed position is too coarse to be found: 43.2 is anywhere within ten kilometres. @param {string} text */
export function isCoarse(text) {
  const typed = text.trim().toUpperCase().replaceAll(",", ".");
  const minutes = TYPED.exec(typed)?.[4];
  const decimals = /\.(\d+)/.exec(typed)?.[1].length ?? 0;
  return decimals < (minutes === undefined ? FINE.degrees : FINE.minutes);
}

/** `43.20575° N`. @param {number} degrees @param {"latitude" | "longitude"} axis */
export function decimal(degrees, axis) {
  const size = Math.abs(degrees).toFixed(DIGITS);
  return `${size}° ${letterOf(degrees, Number(size), axis)}`;
}

/** `43° 12.345′ N`: rounded as a whole, so that 59.9996 minutes are a degree. */
export function degreesMinutes(degrees, axis) {
  const all = Math.round(Math.abs(degrees) * THOUSANDTHS);
  const whole = Math.floor(all / THOUSANDTHS);
  const minutes = ((all % THOUSANDTHS) / 1000).toFixed(3).padStart(6, "0");
  return `${whole}° ${minutes}′ ${letterOf(degrees, all, axis)}`;
}

function letterOf(degrees, shown, axis) {
  return AXES[axis].letters[degrees < 0 && shown > 0 ? 1 : 0];
}

/**
 * Both parts of a position, written in both ways; null when one is missing.
 * @param {{ latitude?: number, longitude?: number }} at
 */
export function inWords({ latitude, longitude }) {
  if (!Number.isFinite(latitude) || !Number.isFinite(longitude)) return null;
  const pair = (write) => [write(latitude, "latitude"), write(longitude, "longitude")];
  return { minutes: pair(degreesMinutes), decimal: pair(decimal) };
}
