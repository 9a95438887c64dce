// The tracker in a thread of its own, so that the page never stops: each message is a step, and has one answer.
// A frame comes as frames.js reads it, and stays here only until the next; its memory goes back with the answer.
import { greyFromLuma } from "./luma.js";
import { greyFrom } from "./pyramid.js";
import { makeTracker } from "./track.js";

let tracker = null;
let frame = null;
let spare = null; // the frame before that one

const STEPS = {
  start({ pixels, marks, limbs, options }) {
    take(pixels);
    tracker = makeTracker(frame, marks, limbs, options);
    return {};
  },
  next({ pixels }) {
    take(pixels);
    return tracker.next(frame);
  },
  remark({ name, point }) {
    tracker.remark(frame, name, point);
    return {};
  },
};

function take(pixels) {
  const { data, width, height, drawn } = pixels;
  [frame, spare] = [drawn ? greyFromLuma(pixels, spare) : greyFrom(data, width, height, spare), frame];
}

self.onmessage = ({ data }) => {
  const free = data.pixels?.drawn ? data.pixels.data.buffer : null;
  self.postMessage({ ...STEPS[data.step](data), free }, { transfer: free ? [free] : [] });
};
