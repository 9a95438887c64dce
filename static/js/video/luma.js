// Grey frames from the brightness that a film's decoder has anyway: without a canvas, and without its garbage.

const [DARK, LIGHT] = [16, 235]; // most films use only these levels (ITU-R BT.601 and BT.709)
const LEAST_LIKENESS = 0.9; // of both ways to the same frame: another way up, or other levels, are less alike
const EACH = 7; // pixels are compared

/** A plane in the size of a drawn frame. @param {Plane} plane @param {Grey} [spare] a frame not needed any more */
export function greyFromLuma(plane, spare) {
  const { width, height } = plane.drawn;
  const data = spare?.data.length === width * height ? spare.data : new Float32Array(width * height);
  const [dark, share] = plane.is_full ? [0, 1] : [DARK, 255 / (LIGHT - DARK)];
  if (width === plane.width && height === plane.height) copied(plane, data, dark, share);
  else resized(plane, data, dark, share);
  return { width, height, data };
}

function copied({ data: from, offset, stride, width, height }, data, dark, share) {
  for (let y = 0, at = 0; y < height; y += 1) {
    for (let i = offset + y * stride, end = i + width; i < end; i += 1, at += 1) data[at] = (from[i] - dark) * share;
  }
}

function resized({ data: from, offset, stride, width: wide, height: high, drawn }, data, dark, share) {
  const { low, high: right, share: across } = between(drawn.width, wide);
  const rows = between(drawn.height, high);
  for (let y = 0, at = 0; y < drawn.height; y += 1) {
    const upper = offset + rows.low[y] * stride;
    const lower = offset + rows.high[y] * stride;
    const down = rows.share[y];
    for (let x = 0; x < drawn.width; x += 1, at += 1) {
      const above = from[upper + low[x]] * (1 - across[x]) + from[upper + right[x]] * across[x];
      const below = from[lower + low[x]] * (1 - across[x]) + from[lower + right[x]] * across[x];
      data[at] = (above + (below - above) * down - dark) * share;
    }
  }
}

/** For each of so many pixels the two of another size that it lies between, and where. */
function between(many, others) {
  const [low, high, share] = [new Int32Array(many), new Int32Array(many), new Float32Array(many)];
  for (let at = 0; at < many; at += 1) {
    const place = Math.min(others - 1, Math.max(0, (at + 0.5) * others / many - 0.5));
    low[at] = Math.floor(place);
    high[at] = Math.min(others - 1, low[at] + 1);
    share[at] = place - low[at];
  }
  return { low, high, share };
}

/** Whether two grey frames show the same, apart from noise and rounding. @param {Grey} one @param {Grey} other */
export function isAlike(one, other) {
  if (one.width !== other.width || one.height !== other.height) return false;
  let [n, x, y, xx, yy, xy, off] = [0, 0, 0, 0, 0, 0, 0];
  for (let at = 0; at < one.data.length; at += EACH) {
    const [a, b] = [one.data[at], other.data[at]];
    n += 1; x += a; y += b; xx += a * a; yy += b * b; xy += a * b; off += Math.abs(a - b);
  }
  const spread = Math.sqrt((xx - x * x / n) * (yy - y * y / n));
  return off / n < 2 || (xy - x * y / n) / spread > LEAST_LIKENESS;
}
