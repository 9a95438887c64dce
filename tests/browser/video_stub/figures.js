// Stands in for the module of the same name as long as it is missing.
import { includedAngle } from "./angles.js";
export function figuresOf(tracks, { length_m }) {
  const bends = tracks.map(({ points: { hip, knee, ankle } }) => 180 - includedAngle(hip, knee, ankle));
  const mean = bends.reduce((sum, one) => sum + one, 0) / bends.length;
  const found = [
    { code: "knee_flexion_most", value: Math.max(...bends), error: 3, unit: "deg" },
    { code: "knee_flexion_mean", value: mean, error: 2, unit: "deg" },
    { code: "kick_hz", value: 1, error: 0.02, unit: "Hz" },
  ];
  return length_m ? [...found, { code: "speed_m_s", value: length_m / 2, error: 0.1, unit: "m/s" }] : found;
}
export const phases = (tracks) => tracks.map(({ t_s }) => ({ t_s, phase: t_s % 1 }));
export const cameraWarning = () => null;
