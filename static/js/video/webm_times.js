// The moments of the frames of a WebM or Matroska film (RFC 9559), from the head of each block: nothing is decoded.

const IDS = { segment: 0x18538067, info: 0x1549a966, scale: 0x2ad7b1, tracks: 0x1654ae6b, track: 0xae, number: 0xd7,
  type: 0x83, cluster: 0x1f43b675, cluster_time: 0xe7, group: 0xa0, block: 0xa1, simple_block: 0xa3 };
const ENTERED = [IDS.segment, IDS.info, IDS.tracks, IDS.track, IDS.cluster, IDS.group];
const READ = [IDS.scale, IDS.number, IDS.type, IDS.cluster_time];
const PICTURE = 1; // the type of a track
const HEAD = 12; // bytes of the longest head of an element
const BLOCK = 11; // bytes of the longest head of a block

/** @param {import("./film_times.js").Bytes} bytes @returns {Promise<number[]>} */
export async function webmTimes(bytes) {
  const told = { scale_ns: 1_000_000, cluster: 0, tracks: [], times: [] };
  for (let at = 0; at + 2 <= bytes.size;) {
    const { id, size, head } = headOf(await bytes.at(at, HEAD));
    at += head;
    if (ENTERED.includes(id)) {
      if (id === IDS.track) told.tracks.push({});
      continue;
    }
    if (READ.includes(id)) note(told, id, numberAt(await bytes.at(at, Math.min(size, 8)), 0, size));
    if (id === IDS.block || id === IDS.simple_block) block(told, await bytes.at(at, BLOCK));
    if (!Number.isFinite(size)) break; // only what is entered may leave its end open
    at += size;
  }
  return told.times.sort((one, other) => one - other);
}

/** @param {DataView} view @returns {{ id: number, size: number, head: number }} */
function headOf(view) {
  const long = lengthAt(view, 0);
  const wide = lengthAt(view, long);
  const size = numberAt(view, long, wide) - 2 ** (7 * wide);
  return { id: numberAt(view, 0, long), size: size === 2 ** (7 * wide) - 1 ? Infinity : size, head: long + wide };
}

// How many bytes a number has: one more than the zero bits that it begins with.
const lengthAt = (view, at) => Math.clz32(at < view.byteLength ? view.getUint8(at) : 0) - 23;

function numberAt(view, at, many) {
  let sum = 0;
  for (let i = at; i < at + many && i < view.byteLength; i += 1) sum = sum * 256 + view.getUint8(i);
  return sum;
}

function note(told, id, value) {
  if (id === IDS.scale) told.scale_ns = value;
  else if (id === IDS.cluster_time) told.cluster = value;
  else if (told.tracks.length > 0) told.tracks.at(-1)[id === IDS.number ? "number" : "type"] = value;
}

function block(told, view) {
  const long = lengthAt(view, 0);
  const number = numberAt(view, 0, long) - 2 ** (7 * long);
  if (told.tracks.find((track) => track.type === PICTURE)?.number !== number) return;
  told.times.push((told.cluster + view.getInt16(long)) * told.scale_ns / 1e9);
}
