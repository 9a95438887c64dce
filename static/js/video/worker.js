// The tracker in a thread of its own, so that the page never stops: each message is a step, and has one answer.
// A frame comes as the colours of a canvas, {width, height, data}, and stays here only until the next.
import { greyFrom } from "./pyramid.js";
import { makeTracker } from "./track.js";

let tracker = null;
let frame = null;

const STEPS = {
  start({ pixels, marks, limbs, options }) {
    frame = greyOf(pixels);
    tracker = makeTracker(frame, marks, limbs, options);
    return {};
  },
  next({ pixels }) {
    frame = greyOf(pixels);
    return tracker.next(frame);
  },
  remark({ name, point }) {
    tracker.remark(frame, name, point);
    return {};
  },
};

const greyOf = ({ data, width, height }) => greyFrom(data, width, height);

self.onmessage = ({ data }) => self.postMessage(STEPS[data.step](data));
