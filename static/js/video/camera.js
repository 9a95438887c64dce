// Whether the camera kept looking at the diver from the same side: limbs keep their length, their pictures do not.
import { lengthsOf, LIMBS } from "./limbs.js";

const TURNED = 0.05; // share by which the limbs change against each other: a limb seen 18 degrees askew is 5 % shorter
const NEARER = 0.12; // share by which all limbs change alike: the scale of metres is off by as much
const OUTLIERS = 0.05; // share of the frames at each end that does not count

/**
 * "camera_angle": the limbs changed their lengths against each other, so the angles are not to be trusted;
 * "camera_distance": all changed alike, so metres are not; else null.
 * @param {Track[]} tracks @returns {"camera_angle" | "camera_distance" | null}
 */
export function cameraWarning(tracks) {
  const lengths = tracks.map(({ points }) => lengthsOf(points, LIMBS)).filter((one) => one.every(Number.isFinite));
  if (lengths.length < 2) return null;
  const usual = LIMBS.map((_, i) => middle(lengths.map((one) => one[i])));
  const shares = lengths.map((one) => one.map((length, i) => length / usual[i]));
  const common = shares.map(middle);
  const apart = LIMBS.map((_, i) => range(shares.map((one, at) => one[i] / common[at])));
  if (Math.max(...apart) > TURNED) return "camera_angle";
  return range(common) > NEARER ? "camera_distance" : null;
}

function sorted(values) {
  return [...values].sort((a, b) => a - b);
}

const middle = (values) => sorted(values)[Math.floor(values.length / 2)];

function range(values) {
  const [inOrder, out] = [sorted(values), Math.floor(values.length * OUTLIERS)];
  return inOrder[inOrder.length - 1 - out] - inOrder[out];
}
