// Looks at a chosen file before it is kept: can this browser play it, and if not, why not, and what to do.
import { TECHNIQUE } from "./clip_words.js";

const PATIENCE_MS = 15_000; // a phone may still be converting it
const FAR_S = 1e7; // a recording that does not know its length finds out on the way to its end
const HEAD_BYTES = 65_536;
const TAIL_BYTES = 4_194_304; // phones write the list of what is in a clip at its end
/** @type {[number, string][]} */
const SIGNS = [[4, "ftyp"], [4, "moov"], [4, "mdat"], [4, "wide"], [4, "free"], [4, "skip"], [0, "\x1aE\xdf\xa3"],
  [0, "OggS"], [8, "AVI "], [0, "\0\0\x01\xba"], [0, "\0\0\x01\xb3"], [0, "0&\xb2u"]];
const CODECS = { hvc1: "HEVC", hev1: "HEVC", dvh1: "HEVC", dvhe: "HEVC", V_MPEGH: "HEVC", av01: "AV1", V_AV1: "AV1",
  vp09: "VP9", apch: "ProRes", apcn: "ProRes", mp4v: "MPEG-4", avc1: "H.264" };

/**
 * What this browser can make of a file: its size and length, or why it cannot play it.
 * @param {File} file
 * @returns {Promise<{ width?: number, height?: number, length_s?: number, bad?: string }>}
 */
export async function probe(file) {
  if (file.size === 0) return { bad: sayBad("empty") };
  const video = document.createElement("video");
  const address = URL.createObjectURL(file);
  try {
    if (!(await loaded(video, address)) || video.videoWidth === 0) return { bad: await whyNot(file, video) };
    const length_s = await lengthOf(video);
    if (!(length_s > 0)) return { bad: sayBad("zero") };
    return { width: video.videoWidth, height: video.videoHeight, length_s };
  } finally {
    video.removeAttribute("src");
    video.load();
    URL.revokeObjectURL(address);
  }
}

/** Start loading; resolves to whether there is a first picture, or at least its size. */
export function loaded(video, address) {
  Object.assign(video, { muted: true, playsInline: true, preload: "auto", src: address });
  video.load(); // without it an iPhone shows no first picture
  return new Promise((resolve) => {
    const late = setTimeout(() => resolve(video.readyState > 0), PATIENCE_MS);
    const end = (well) => {
      clearTimeout(late);
      resolve(well);
    };
    video.onloadeddata = () => end(true);
    video.onerror = () => end(false);
  });
}

/** The length of a loaded clip in seconds; clips of a browser's own recorder do not say it at once. */
export async function lengthOf(video) {
  if (Number.isFinite(video.duration)) return video.duration;
  const known = new Promise((resolve) => {
    setTimeout(resolve, PATIENCE_MS);
    video.ondurationchange = () => Number.isFinite(video.duration) && resolve(null);
  });
  video.currentTime = FAR_S;
  await known;
  video.currentTime = 0;
  return Number.isFinite(video.duration) ? video.duration : 0;
}

async function whyNot(file, video) {
  const head = await textOf(file.slice(0, HEAD_BYTES));
  if (!SIGNS.some(([at, sign]) => head.startsWith(sign, at))) return sayBad("no_video");
  const all = head + (await textOf(file.slice(Math.max(HEAD_BYTES, file.size - TAIL_BYTES))));
  const codec = CODECS[Object.keys(CODECS).find((name) => all.includes(name))];
  if (codec === "HEVC") return sayBad("hevc");
  if (video.readyState > 0 && !codec) return sayBad("sound_only");
  return codec && codec !== "H.264" ? sayBad("codec", codec) : sayBad("damaged");
}

// Each byte as one letter.
async function textOf(part) {
  return new TextDecoder("latin1").decode(await part.arrayBuffer());
}

function sayBad(code, codec = "") {
  const { bad } = TECHNIQUE;
  return `${bad[code].replace("{codec}", codec)} ${bad.after}`;
}
