// The moments of the frames of an MP4 or QuickTime film, from its own table (ISO/IEC 14496-12): no picture is decoded.

const HEAD = 16; // bytes of a box's head with a long size
const MOST_TABLE = 67_108_864; // bytes: no table of a phone's film is longer
const MOST_FRAMES = 500_000;
const INSIDE = ["moov", "trak", "mdia", "minf", "stbl", "edts"];

/** @param {import("./film_times.js").Bytes} bytes @returns {Promise<number[] | null>} null where it cannot be told */
export async function mp4Times(bytes) {
  for (let at = 0; at + 8 <= bytes.size;) {
    const { name, size, head } = headOf(await bytes.at(at, HEAD), 0, bytes.size - at);
    if (size < head) return null;
    if (name === "moov") return at + size <= bytes.size && size <= MOST_TABLE
      ? timesOf(boxes(await bytes.at(at, size), 0, size)) : null;
    at += size;
  }
  return null;
}

/** A box's name, its whole size, and the bytes before its content. @param {DataView} view */
function headOf(view, at, left) {
  const name = String.fromCharCode(...[4, 5, 6, 7].map((byte) => view.getUint8(at + byte)));
  const size = view.getUint32(at);
  if (size === 1) return { name, size: Number(view.getBigUint64(at + 8)), head: 16 };
  return { name, size: size || left, head: 8 };
}

/** The boxes within these bytes as {name, view, inside}. @param {DataView} view @returns {Box[]} */
function boxes(view, from, to) {
  const found = [];
  for (let at = from; at + 8 <= to;) {
    const { name, size, head } = headOf(view, at, to - at);
    if (size < head || at + size > to) break;
    found.push({ name, view: new DataView(view.buffer, view.byteOffset + at + head, size - head),
      inside: INSIDE.includes(name) ? boxes(view, at + head, at + size) : [] });
    at += size;
  }
  return found;
}

/** @typedef {{ name: string, view: DataView, inside: Box[] }} Box */

/** The box on this way down. @param {Box[]} all @param {string[]} way @returns {Box} */
function boxAt(all, [name, ...rest]) {
  const box = all.find((one) => one.name === name);
  return rest.length > 0 && box ? boxAt(box.inside, rest) : box;
}

/** @param {Box[]} top */
function timesOf(top) {
  const movie = boxAt(top, ["moov"]).inside;
  const film = movie.find(({ name, inside }) => name === "trak" && isPicture(inside));
  const table = film && boxAt(film.inside, ["mdia", "minf", "stbl"])?.inside;
  const [scale, movie_scale] = [boxAt(film?.inside ?? [], ["mdia", "mdhd"]), boxAt(movie, ["mvhd"])].map(scaleOf);
  const start_s = startOf(boxAt(film?.inside ?? [], ["edts", "elst"]), scale, movie_scale);
  if (!table || !scale || start_s === null) return null;
  const ticks = ticksOf(boxAt(table, ["stts"]), boxAt(table, ["ctts"]));
  const times = ticks.map((tick) => tick / scale + start_s).sort((one, other) => one - other);
  return times.filter((time_s) => time_s > -0.5 / scale);
}

function isPicture(inside) {
  const kind = boxAt(inside, ["mdia", "hdlr"])?.view;
  return kind?.byteLength >= 12 && kind.getUint32(8) === 0x76696465; // "vide"
}

const scaleOf = (box) => box && box.view.getUint32(box.view.getUint8(0) === 1 ? 20 : 12);

/** How far the film's own beginning is moved; null where it was cut into parts. @param {Box | undefined} list */
function startOf(list, scale, movie_scale) {
  if (!list) return 0;
  const { view } = list;
  const long = view.getUint8(0) === 1;
  const edits = Array.from({ length: view.getUint32(4) }, (_, nth) => {
    const at = 8 + nth * (long ? 20 : 12);
    return long ? { length: Number(view.getBigUint64(at)), from: Number(view.getBigInt64(at + 8)) }
      : { length: view.getUint32(at), from: view.getInt32(at + 4) };
  });
  const empty = edits.filter(({ from }) => from === -1);
  const [edit, ...more] = edits.filter(({ from }) => from !== -1);
  if (more.length > 0 || (empty.length > 0 && !movie_scale)) return null;
  return empty.reduce((sum, { length }) => sum + length / movie_scale, 0) - (edit?.from ?? 0) / scale;
}

/** When each frame is shown, in ticks: when it is decoded, and how much later it is shown. */
function ticksOf(durations, shifts) {
  const [steps, later] = [runs(durations), shifts ? runs(shifts) : []];
  let tick = 0;
  const ticks = steps.map((step) => (tick += step) - step);
  return ticks.map((one, at) => one + (later[at] ?? 0));
}

/** A table of (how many, value) written out. @param {Box} [table] @returns {number[]} */
function runs(table) {
  const many = table?.view.getUint32(4) ?? 0;
  const found = [];
  for (let row = 0; row < many && found.length < MOST_FRAMES; row += 1) {
    const count = Math.min(MOST_FRAMES, table.view.getUint32(8 + 8 * row));
    const value = table.view.getInt32(12 + 8 * row);
    for (let nth = 0; nth < count; nth += 1) found.push(value);
  }
  return found;
}
