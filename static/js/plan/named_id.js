// Ids that every phone finds alike without asking: of things of which there is one of each name.
//
// A UUID of version 8 (RFC 9562: the content is free): the first bits of the SHA-256 of the parts as JSON. It is
// calculated here: a page over plain http has no crypto.subtle. Constants and steps: FIPS 180-4.
const WORDS = 16, ROUNDS = 64, BLOCK = 64, LENGTH_AT = 56;

/** @param {number} number of which root @param {number} power */
const fraction = (number, power) => {
  const root = number ** power;
  return Math.floor((root - Math.floor(root)) * 2 ** 32) | 0;
};
const isPrime = (number) => {
  for (let by = 2; by * by <= number; by += 1) if (number % by === 0) return false;
  return true;
};
const PRIMES = Array.from({ length: 310 }, (_, at) => at + 2).filter(isPrime); // 64 of them, to 311
const CUBE_ROOTS = PRIMES.map((number) => fraction(number, 1 / 3));
const SQUARE_ROOTS = PRIMES.slice(0, 8).map((number) => fraction(number, 1 / 2));

const turned = (word, by) => (word >>> by) | (word << (32 - by));

/** The id of what these parts name. @param {...(string | number)} parts */
export function namedId(...parts) {
  const hex = sha256(new TextEncoder().encode(JSON.stringify(parts)))
    .map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
  const variant = ((parseInt(hex[16], 16) & 0x3) | 0x8).toString(16);
  return [hex.slice(0, 8), hex.slice(8, 12), `8${hex.slice(13, 16)}`, variant + hex.slice(17, 20), hex.slice(20, 32)]
    .join("-");
}

function sha256(bytes) {
  const state = [...SQUARE_ROOTS];
  const padded = paddedTo(bytes);
  for (let at = 0; at < padded.byteLength; at += BLOCK) {
    const mixed = rounds(state, schedule(padded, at));
    for (let place = 0; place < state.length; place += 1) state[place] = (state[place] + mixed[place]) | 0;
  }
  return state;
}

function paddedTo(bytes) {
  const size = Math.ceil((bytes.length + 1 + BLOCK - LENGTH_AT) / BLOCK) * BLOCK;
  const view = new DataView(new ArrayBuffer(size));
  bytes.forEach((byte, at) => view.setUint8(at, byte));
  view.setUint8(bytes.length, 0x80);
  view.setUint32(size - 4, bytes.length * 8);
  return view;
}

function schedule(view, at) {
  const words = Array.from({ length: WORDS }, (_, place) => view.getUint32(at + place * 4));
  for (let place = WORDS; place < ROUNDS; place += 1) {
    const [early, late] = [words[place - 15], words[place - 2]];
    const low = turned(early, 7) ^ turned(early, 18) ^ (early >>> 3);
    const high = turned(late, 17) ^ turned(late, 19) ^ (late >>> 10);
    words.push((words[place - WORDS] + low + words[place - 7] + high) | 0);
  }
  return words;
}

function rounds(state, words) {
  let [a, b, c, d, e, f, g, h] = state;
  for (let at = 0; at < ROUNDS; at += 1) {
    const high = turned(e, 6) ^ turned(e, 11) ^ turned(e, 25);
    const one = (h + high + ((e & f) ^ (~e & g)) + CUBE_ROOTS[at] + words[at]) | 0;
    const two = ((turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  return [a, b, c, d, e, f, g, h];
}
