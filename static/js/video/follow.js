// Follows the marks through a film: shows frame by frame, lets the worker find the points, and asks where one is lost.
import { LIMBS } from "./limbs.js";
import { frameReader } from "./frames.js";
import { momentOf, seekFrame } from "./stepping.js";

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
    const reader = frameReader(options.video, options.canvas, options.most_px);
    return await followed({ ...options, signal: options.signal ?? stop.signal, worker, reader });
  } finally {
    worker.terminate();
  }
}

async function followed(film) {
  const { first, last, rate, marks, limbs = LIMBS, options = {}, onProgress } = film;
  await ask(film, { step: "start", pixels: await shown(film, first), marks, limbs, options });
  const tracks = [{ index: first, t_s: momentOf(first, rate), points: plain(marks) }];
  let next = ahead(film, first + 1);
  for (let index = first + 1; index <= last; index += 1) {
    const answer = ask(film, { step: "next", pixels: await next });
    next = ahead(film, index + 1);
    const { points, lost } = await answer;
    const track = { index, t_s: momentOf(index, rate), points: plain(points) };
    tracks.push(track);
    if (lost.length > 0) await showAgain(film, index, next);
    for (const name of lost) await markAnew(film, track, name);
    onProgress?.((index - first) / (last - first));
  }
  return tracks;
}

async function shown({ video, rate, reader, signal }, index) {
  await unlessAborted(signal, seekFrame(video, index, rate));
  return reader.read();
}

/** The next frame is looked for while the worker looks at this one. */
function ahead(film, index) {
  if (index > film.last) return null;
  const next = shown(film, index);
  next.catch(() => {}); // told where it is waited for
  return next;
}

async function showAgain({ video, rate, signal }, index, next) {
  await next;
  await unlessAborted(signal, seekFrame(video, index, rate));
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
function ask({ worker, reader, signal }, message) {
  const answer = new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => {
      reader.giveBack(data.free);
      resolve(data);
    };
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
