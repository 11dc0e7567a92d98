// An act's id is minted where the finger touches: a press that is sent twice is recorded once.

/** Return a UUID of version 7: milliseconds since 1970, then chance. (RFC 9562, section 5.7.) */
export function mint(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (let at = 5, left = now; at >= 0; at -= 1, left = Math.floor(left / 256)) bytes[at] = left % 256;
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
