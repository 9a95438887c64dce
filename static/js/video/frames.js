// Reads the frames of a film as they are shown: the brightness from its decoder where the browser gives it and it is
// the same picture, else the colours of a canvas, whose garbage needs some hundred megabytes.
import { greyFromLuma, isAlike } from "./luma.js";
import { greyFrom } from "./pyramid.js";
import { pixelsOf } from "./stepping.js";

const FORMATS = ["I420", "I420A", "NV12"]; // their first plane is the brightness, a byte for each pixel

/**
 * `read()` gives the frame that is shown now; `giveBack(buffer)` takes memory that is not needed any more.
 * @param {HTMLVideoElement} video @param {HTMLCanvasElement} canvas @param {number} [most_px]
 */
export function frameReader(video, canvas, most_px) {
  const spare = [];
  let byPlane = null; // not known before the first frame
  return { read, giveBack: (buffer) => buffer && spare.push(buffer) };

  async function read() {
    const plane = byPlane === false ? null : await planeOf(video, spare).catch(() => null);
    if (byPlane && plane) return { ...plane, drawn: { width: canvas.width, height: canvas.height } };
    const colours = pixelsOf(video, canvas, most_px);
    byPlane = Boolean(plane) && isSame(colours, { ...plane, drawn: colours });
    return { data: colours.data, width: colours.width, height: colours.height };
  }
}

const isSame = (colours, plane) =>
  isAlike(greyFrom(colours.data, colours.width, colours.height), greyFromLuma(plane));

/** @returns {Promise<Omit<Plane, "drawn"> | null>} */
async function planeOf(video, spare) {
  if (!globalThis.VideoFrame) return null;
  const frame = new VideoFrame(video);
  try {
    if (!FORMATS.includes(frame.format)) return null;
    const size = frame.allocationSize();
    const kept = spare.pop();
    const data = new Uint8Array(kept?.byteLength === size ? kept : new ArrayBuffer(size));
    const [{ offset, stride }] = await frame.copyTo(data);
    const { width, height } = frame.visibleRect;
    return { data, offset, stride, width, height, is_full: frame.colorSpace.fullRange === true };
  } finally {
    frame.close();
  }
}
