// Follows the marks through a film: shows frame by frame, lets the worker find the points, and asks where one is lost.
import { LIMBS } from "./limbs.js";
import { momentOf, pixelsOf, seekFrame } from "./stepping.js";

/**
 * The tracks from the frame `first`, in which the points were marked, to the frame `last`. Where a point is lost it
 * asks, with that frame shown: onLost gives the new mark, or null to go on without the point. Ends with an error when
 * the signal is aborted. Marks are in pixels of the canvas as pixelsOf leaves it.
 * @param {FollowOptions} options @returns {Promise<Track[]>}
 */
export async function follow(options) {
  const worker = new Worker(new URL("./worker.js", import.meta.url), { type: "module" });
  const stop = new AbortController();
  try {
    return await followed({ ...options, signal: options.signal ?? stop.signal, worker });
  } finally {
    worker.terminate();
  }
}

async function followed(film) {
  const { first, last, rate, marks, limbs = LIMBS, options = {}, onProgress } = film;
  await ask(film, { step: "start", pixels: await shown(film, first), marks, limbs, options });
  const tracks = [{ index: first, t_s: momentOf(first, rate), points: plain(marks) }];
  for (let index = first + 1; index <= last; index += 1) {
    const { points, lost } = await ask(film, { step: "next", pixels: await shown(film, index) });
    const track = { index, t_s: momentOf(index, rate), points: plain(points) };
    tracks.push(track);
    for (const name of lost) await markAnew(film, track, name);
    onProgress?.((index - first) / (last - first));
  }
  return tracks;
}

async function shown({ video, canvas, rate, most_px, signal }, index) {
  await unlessAborted(signal, seekFrame(video, index, rate));
  const { data, width, height } = pixelsOf(video, canvas, most_px);
  return { data, width, height };
}

async function markAnew(film, track, name) {
  const point = await unlessAborted(film.signal, film.onLost(name, track.index));
  if (!point) return;
  await ask(film, { step: "remark", name, point });
  track.points[name] = { x: point.x, y: point.y };
  track.marked = [...(track.marked ?? []), name];
}

const plain = (points) => Object.fromEntries(Object.entries(points).map(([name, { x, y }]) => [name, { x, y }]));

/** The worker's answer; the colours of a frame move to it, they are not copied. */
function ask({ worker, signal }, message) {
  const answer = new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => resolve(data);
    worker.onerror = (event) => reject(new Error(event.message));
  });
  worker.postMessage(message, message.pixels ? [message.pixels.data.buffer] : []);
  return unlessAborted(signal, answer);
}

/** What a promise gives, or the reason of the signal as soon as it is aborted. */
function unlessAborted(signal, promise) {
  return new Promise((resolve, reject) => {
    const abort = () => reject(signal.reason);
    if (signal.aborted) return abort();
    signal.addEventListener("abort", abort, { once: true });
    return promise.then(resolve, reject).finally(() => signal.removeEventListener("abort", abort));
  });
}
