// Figures that were measured on video, in words.
import { BOAT } from "../labels.js";

const LEAST = 0.01; // nothing is known more exactly than it is written

/** Each figure as a line: `Knee bend, most 41° ± 3°`. @param {Fields} fields */
export function figureLines({ figures }) {
  return Object.entries(figures ?? {}).map(([code, { value, error }]) => {
    const { says = code, unit = "" } = BOAT.figure?.[code] ?? {};
    return `${says} ${withError(value, error, unit)}`;
  });
}

/** A value with its uncertainty and unit: 48° ± 3°, 0.80 ± 0.02 m. Degrees are whole. */
export function withError(value, error, unit) {
  const isAngle = unit === "°";
  const write = (number) => (isAngle ? `${Math.round(number)}°` : number.toFixed(2));
  const spread = Number.isFinite(error) ? ` ± ${write(Math.max(isAngle ? 1 : LEAST, error))}` : "";
  return [write(value) + spread, !isAngle && unit].filter(Boolean).join(" ");
}
