// Steps through a film frame by frame. A frame is named by its index, and asked for in its middle: at its beginning
// some browsers show the frame before.
import { greyFrom } from "./pyramid.js";
import { trendOf } from "./sine.js";

const WATCH_S = 1.3; // of film: some 30 frames of a slow film
const GIVE_UP_MS = 6000; // a phone that cannot play the film
const LEAST_STEPS = 8;
const USUAL = [24000 / 1001, 24, 25, 30000 / 1001, 30, 48, 50, 60000 / 1001, 60, 90, 100, 120, 240]; // frames a second
const SLOWEST_S = 1 / 12; // no phone films slower: more was left out than was seen
const DROPPED = [2, 3]; // frames in the usual step of a phone that is too slow, where that makes a usual rate
const ROUNDED_S = 0.0011; // some films name their times in whole milliseconds
const MOSTLY = 0.9; // share of the steps that must be even
const NEAR = 0.01; // share by which a measured rate may be off a usual one
const UNEVEN = 0.2; // share of a frame's time by which steps differ in a film of variable rate
const SAME_S = 1e-4; // the moment that is shown already
const JUST_IN_S = 0.005; // after the beginning of the last frame: longer than any browser rounds
const TRIES = 3; // for a frame of a film with uneven ones
const NOT_DRAWN_MS = 400; // after a seek: the same frame again, which some browsers do not report
const MOST_PX = 1280; // wider frames are drawn smaller: the marks are as large, and reading takes less time

/**
 * Plays a little of the film without sound, and tells how many frames a second it has; `fps` is null when too little
 * could be seen. `steady` is false for a film of variable rate: its times are not index / fps.
 * @param {HTMLVideoElement} video @returns {Promise<{ fps: number | null, steady: boolean }>}
 */
export async function frameRate(video) {
  const seen = await watched(video);
  return rateOf(seen);
}

/** @returns {Promise<SeenFrame[]>} */
async function watched(video) {
  if (!video.requestVideoFrameCallback) return [];
  const seen = [];
  Object.assign(video, { muted: true, playsInline: true, playbackRate: 1, currentTime: 0 });
  const over = new Promise((resolve) => {
    const look = (_, { mediaTime, presentedFrames }) => {
      seen.push({ mediaTime, presentedFrames });
      if (mediaTime - seen[0].mediaTime >= WATCH_S) resolve(undefined);
      else video.requestVideoFrameCallback(look);
    };
    video.requestVideoFrameCallback(look);
    for (const name of ["ended", "error"]) video.addEventListener(name, () => resolve(undefined), { once: true });
    setTimeout(resolve, GIVE_UP_MS);
  });
  await video.play();
  await over;
  video.pause();
  return seen;
}

/**
 * The rate from frames seen while the film played; some may have been left out.
 * @param {SeenFrame[]} seen @returns {{ fps: number | null, steady: boolean }}
 */
export function rateOf(seen) {
  const gaps = seen.slice(1).map((one, i) => (one.mediaTime - seen[i].mediaTime)
    / Math.max(1, one.presentedFrames - seen[i].presentedFrames)).filter((gap) => gap > 0);
  if (gaps.length < LEAST_STEPS) return { fps: null, steady: false };
  const usual = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length / 2)];
  if (usual > SLOWEST_S) return { fps: null, steady: false };
  if (isEven(gaps, usual)) return { fps: exactRate(seen, gaps, usual), steady: true };
  const fps = DROPPED.filter((frames) => isEven(gaps, usual / frames))
    .map((frames) => exactRate(seen, gaps, usual / frames)).find((one) => USUAL.includes(one));
  return fps ? { fps, steady: true } : { fps: snapped(1 / usual), steady: false };
}

function exactRate(seen, gaps, frame_s) {
  const single = gaps.filter((gap) => Math.round(gap / frame_s) === 1);
  const mean = single.length > 0 ? single.reduce((sum, gap) => sum + gap, 0) / single.length : frame_s;
  return snapped(1 / slopeOf(seen, mean));
}

/** Whether nearly all gaps are whole numbers of frames. */
function isEven(gaps, frame_s) {
  const near_s = Math.max(UNEVEN * frame_s, ROUNDED_S);
  const off = (gap) => Math.abs(gap - Math.max(1, Math.round(gap / frame_s)) * frame_s);
  return gaps.filter((gap) => off(gap) <= near_s).length >= MOSTLY * gaps.length;
}

/** The time of a frame: the slope of the moments over the numbers of their frames. */
function slopeOf(seen, frame_s) {
  const numbers = [0];
  seen.slice(1).forEach((one, i) => {
    numbers.push(numbers[i] + Math.max(1, Math.round((one.mediaTime - seen[i].mediaTime) / frame_s)));
  });
  return trendOf(numbers, seen.map(({ mediaTime }) => mediaTime)).slope;
}

function snapped(fps) {
  const best = USUAL.reduce((a, b) => (Math.abs(b - fps) < Math.abs(a - fps) ? b : a));
  return Math.abs(best - fps) <= NEAR * best ? best : fps;
}

/** How many frames a film has. @param {HTMLVideoElement} video @param {number} fps */
export const frameCount = (video, fps) => Math.max(1, Math.floor(video.duration * fps + 0.05));

/** The moment of a frame. @param {number} index @param {Rate} rate @returns {number} */
export const momentOf = (index, rate) => (typeof rate === "number" ? index / rate : rate[index]);

/**
 * Shows this frame of a paused film; ready when it can be drawn. The rate is frames a second, or the moment of each.
 * @param {HTMLVideoElement} video @param {number} index @param {Rate} rate @returns {Promise<void>}
 */
export function seekFrame(video, index, rate) {
  if (typeof rate !== "number") return seekMoment(video, index, rate);
  const to_s = (index + 0.5) / rate;
  return isAt(video, to_s) ? Promise.resolve() : sought(video, to_s).then(() => {});
}

const isAt = (video, to_s) => !video.seeking && video.readyState >= 2 && Math.abs(video.currentTime - to_s) < SAME_S;

const shown = new WeakMap(); // by film with uneven frames: the frame that was sought last, and where

/**
 * In the frame's middle, half way to the next. Some files tell a frame to end before that or after it, and a neighbour
 * is shown: a browser that says which is asked for as much later or earlier.
 */
async function seekMoment(video, index, times) {
  const before = shown.get(video);
  const is_before = before && isAt(video, before.to_s);
  if (is_before && before.index === index) return;
  const start_s = times[index] + ((times[index + 1] - times[index]) / 2 || JUST_IN_S);
  let to_s = start_s;
  for (let left = TRIES; left >= 0; left -= 1) {
    const moment = await sought(video, to_s, (one) => isSame(one, times[index]));
    const seen = moment === null ? stayed(before, index, is_before) : times.findIndex((one) => isSame(one, moment));
    if (seen === -1 || seen === index) break;
    to_s = left > 1 ? to_s + times[index] - times[seen] : start_s;
  }
  shown.set(video, { index, to_s });
}

const isSame = (one, other) => Math.abs(one - other) < ROUNDED_S;

// No picture was drawn: perhaps the one before stands still. It is a neighbour then.
const stayed = (before, index, is_before) => (is_before && Math.abs(before.index - index) === 1 ? before.index : -1);

/**
 * The moment of the picture that was drawn, null where none was. A picture that is not the right one is believed only
 * when no other follows: a busy browser may still tell of an earlier one.
 * @param {HTMLVideoElement} video @param {number} to_s @param {(moment: number) => boolean} [isRight]
 * @returns {Promise<number | null>}
 */
function sought(video, to_s, isRight = () => true) {
  return new Promise((resolve, reject) => {
    const over = new AbortController();
    const told = { drawn: !video.requestVideoFrameCallback, sought: false, moment: null };
    const tell = (what) => {
      told[what] = true;
      if (!told.drawn || !told.sought) return;
      over.abort();
      resolve(told.moment);
    };
    const watch = () => video.requestVideoFrameCallback?.((_, { mediaTime }) => {
      if (over.signal.aborted) return;
      told.moment = mediaTime;
      if (isRight(mediaTime)) tell("drawn");
      else watch();
    });
    watch();
    const listen = (name, then) => video.addEventListener(name, then, { once: true, signal: over.signal });
    listen("seeked", () => { tell("sought"); setTimeout(() => tell("drawn"), NOT_DRAWN_MS); });
    listen("error", () => { over.abort(); reject(video.error ?? new Error("film")); });
    video.currentTime = to_s;
  });
}

/**
 * The colours of the frame that is shown, at most so many pixels wide. The canvas gets its size.
 * @param {HTMLVideoElement} video @param {HTMLCanvasElement} canvas @param {number} [most_px]
 * @returns {ImageData}
 */
export function pixelsOf(video, canvas, most_px = MOST_PX) {
  const share = Math.min(1, most_px / video.videoWidth);
  const [width, height] = [video.videoWidth, video.videoHeight].map((px) => Math.max(1, Math.round(px * share)));
  if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
  const brush = canvas.getContext("2d", { willReadFrequently: true });
  brush.drawImage(video, 0, 0, width, height);
  return brush.getImageData(0, 0, width, height);
}

/**
 * The same in grey.
 * @param {HTMLVideoElement} video @param {HTMLCanvasElement} canvas @param {number} [most_px] @returns {Grey}
 */
export function greyOf(video, canvas, most_px = MOST_PX) {
  const { data, width, height } = pixelsOf(video, canvas, most_px);
  return greyFrom(data, width, height);
}
