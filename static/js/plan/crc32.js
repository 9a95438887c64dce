// CRC-32 as in RFC 1952 (gzip), section 8: it tells whether a text came through a messenger whole. It proves nothing
// about who wrote it.
const POLYNOMIAL = 0xedb88320;
const TABLE = Array.from({ length: 256 }, (_, byte) => {
  let left = byte;
  for (let bit = 0; bit < 8; bit += 1) left = left & 1 ? (left >>> 1) ^ POLYNOMIAL : left >>> 1;
  return left >>> 0;
});

/** The checksum of these bytes, as eight hex digits. @param {Uint8Array} bytes */
export function crc32(bytes) {
  let left = 0xffffffff;
  for (const byte of bytes) left = TABLE[(left ^ byte) & 0xff] ^ (left >>> 8);
  return ((left ^ 0xffffffff) >>> 0).toString(16).padStart(8, "0");
}
