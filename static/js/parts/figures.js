// Figures that were measured on video, in words.
import { BOAT } from "../labels.js";
import { show } from "../ui/words.js";

/** Each figure as a line: `Knee, deepest bend 41 ± 3°`. @param {Fields} fields */
export function figureWords({ figures }) {
  return Object.entries(figures ?? {}).map(([code, { value, error }]) => {
    const { says = code, unit = "" } = BOAT.figure?.[code] ?? {};
    return `${says} ${withError(value, error, unit)}`;
  });
}

/** A value with its uncertainty and unit; degrees are whole. */
export function withError(value, error, unit) {
  const write = (number) => (unit === "°" ? String(Math.round(number)) : show(number));
  const range = error === null || error === undefined ? "" : ` ± ${write(error)}`;
  return `${write(value)}${range}${unit === "°" ? "°" : ` ${unit}`}`;
}
