// A grey frame and its halves: what moves far in the frame moves little in a small copy of it.

const LEVELS = 4; // the frame and three halves: a mark that moves 40 pixels moves 5 in the smallest
const [RED, GREEN, BLUE] = [0.299, 0.587, 0.114]; // how bright each colour is to the eye (ITU-R BT.601)

const filled = (spare, size) => (spare?.length === size ? spare : new Float32Array(size));

/**
 * A grey frame from the colours of a canvas; `spare` is one that is not needed any more: its place is used again.
 * @param {Uint8ClampedArray} rgba @param {number} width @param {number} height @param {Grey} [spare] @returns {Grey}
 */
export function greyFrom(rgba, width, height, spare) {
  const data = filled(spare?.data, width * height);
  for (let i = 0, j = 0; i < data.length; i += 1, j += 4) {
    data[i] = RED * rgba[j] + GREEN * rgba[j + 1] + BLUE * rgba[j + 2];
  }
  return { width, height, data };
}

/**
 * The frame, then each half of the one before. The halves of a pyramid that is not needed any more are used again.
 * @param {Grey} frame @param {Grey[]} [spare] @returns {Grey[]}
 */
export function pyramidOf(frame, spare) {
  const levels = [frame];
  while (levels.length < LEVELS) levels.push(halved(levels.at(-1), spare?.[levels.length]));
  return levels;
}

/** Each pixel is the mean of four. @param {Grey} frame @param {Grey} [spare] @returns {Grey} */
function halved({ width: wide, height: high, data: from }, spare) {
  const [width, height] = [wide >> 1, high >> 1];
  const data = filled(spare?.data, width * height);
  for (let y = 0, at = 0; y < height; y += 1) {
    for (let x = 0, i = 2 * y * wide; x < width; x += 1, i += 2, at += 1) {
      data[at] = (from[i] + from[i + 1] + from[i + wide] + from[i + wide + 1]) / 4;
    }
  }
  return { width, height, data };
}

/** Where a place of the frame is in a level: the middles of the pixels move. @param {number} x @param {number} level */
export const toLevel = (x, level) => (x + 0.5) / 2 ** level - 0.5;

/**
 * Reads the square of this radius round a point between pixels into `out`, row by row; at the edge of the frame the
 * outermost pixel goes on.
 * @param {Grey} frame @param {number} x @param {number} y @param {number} radius @param {Float32Array} out
 */
export function readSquare(frame, x, y, radius, out) {
  const { width, height, data } = frame;
  const [left, top] = [Math.floor(x) - radius, Math.floor(y) - radius];
  const side = 2 * radius + 1;
  const inside = left >= 0 && top >= 0 && left + side < width && top + side < height;
  const [fx, fy] = [x - Math.floor(x), y - Math.floor(y)];
  const [nw, ne, sw, se] = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy];
  if (!inside) return readAtEdge(frame, left, top, side, [nw, ne, sw, se], out);
  for (let row = 0, at = 0; row < side; row += 1) {
    for (let i = (top + row) * width + left, end = i + side; i < end; i += 1, at += 1) {
      out[at] = nw * data[i] + ne * data[i + 1] + sw * data[i + width] + se * data[i + width + 1];
    }
  }
  return out;
}

function readAtEdge({ width, height, data }, left, top, side, [nw, ne, sw, se], out) {
  const value = (x, y) => data[Math.max(0, Math.min(height - 1, y)) * width + Math.max(0, Math.min(width - 1, x))];
  for (let at = 0; at < side * side; at += 1) {
    const [x, y] = [left + at % side, top + Math.floor(at / side)];
    out[at] = nw * value(x, y) + ne * value(x + 1, y) + sw * value(x, y + 1) + se * value(x + 1, y + 1);
  }
  return out;
}
