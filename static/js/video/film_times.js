// When each frame of a film is shown, as the file itself says: the same in each browser, and without playing it.
// Where the frames are even, the rate is enough; else their moments are kept, and a frame is asked for between two.
import { mp4Times } from "./mp4_times.js";
import { webmTimes } from "./webm_times.js";
import { rateOf } from "./stepping.js";

const PIECE = 262_144; // bytes read at once
const MOST_WEBM = 600_000_000; // bytes: each block of such a file has to be looked at
const LEAST_FRAMES = 4;
const LEAST_RATE = 1; // frames a second: fewer are pictures, not a film
const SAME = 0.25; // of a frame: rounded moments, and still the frame that is asked for in its middle

/**
 * The rate, whether it is even, and the moments of the frames where the rate does not tell them; null where the file
 * does not say.
 * @param {Blob} file @returns {Promise<{ fps: number, steady: boolean, times: number[] | null } | null>}
 */
export async function filmTimes(file) {
  const times = await readTimes(file).catch((error) => (console.warn(error), null));
  const long_s = times?.length >= LEAST_FRAMES ? times.at(-1) - times[0] : 0;
  if (!(long_s > 0) || (times.length - 1) / long_s < LEAST_RATE) return null;
  return rateFrom(times, (times.length - 1) / long_s);
}

function rateFrom(times, mean) {
  const told = rateOf(times.map((mediaTime, at) => ({ mediaTime, presentedFrames: at })));
  const fps = told.fps && told.steady ? told.fps : mean;
  const isEven = times.every((time_s, at) => Math.abs(time_s * fps - at) < SAME);
  return { fps, steady: isEven || told.steady, times: isEven ? null : times };
}

async function readTimes(file) {
  const bytes = new Bytes(file);
  const head = await bytes.at(0, 12);
  if (head.byteLength < 12) return null;
  if (head.getUint32(0) === 0x1a45dfa3) return file.size <= MOST_WEBM ? webmTimes(bytes) : null;
  return mp4Times(bytes);
}

/** Reads a file piece by piece: a film does not fit into memory. */
export class Bytes {
  /** @param {Blob} file */
  constructor(file) {
    this.file = file;
    this.size = file.size;
    this.from = 0;
    this.piece = new ArrayBuffer(0);
  }

  /** So many bytes from here, fewer at the end of the file. @param {number} from @param {number} many */
  async at(from, many) {
    const end = Math.min(this.size, from + many);
    if (from < this.from || end > this.from + this.piece.byteLength) {
      this.from = from;
      this.piece = await this.file.slice(from, Math.max(end, Math.min(this.size, from + PIECE))).arrayBuffer();
    }
    return new DataView(this.piece, from - this.from, Math.max(0, end - from));
  }
}
