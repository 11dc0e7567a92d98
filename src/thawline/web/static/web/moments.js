// When a finger touched: by a clock that only goes forward, and by the wall clock put right.

import { mint } from "./ids.js";

/** This start of this page; after a reload the forward clock begins anew. */
export const boot = mint();

const SKEW_MS = 2000; // more than this between the two clocks: the tablet slept or was set
const KEPT = "thawline.offset";

let measured = null;

/**
 * Measure how far this tablet's wall clock is from the site's, from one answer of the server.
 * A slow answer says too little and is left out.
 */
export function measure(siteMs, askedAt, answeredAt) {
  const slow = answeredAt - askedAt;
  if (slow > SKEW_MS) return;
  measured = { offset: siteMs - (Date.now() - slow / 2), wall: Date.now(), forward: performance.now() };
  localStorage.setItem(KEPT, String(Math.round(measured.offset)));
}

/** Return the moment of a touch, as it is kept with an entry. */
export function touched() {
  const offset = offsetNow();
  const wall = Date.now();
  return { boot, forward: performance.now(), wall, clock: offset === null ? null : Math.round(wall + offset) };
}

/** Return what to send of a kept touch: either figure is null where it is not known. */
export function sentMoment(touch) {
  const [forward, wall] = [performance.now() - touch.forward, Date.now() - touch.wall];
  const known = touch.boot === boot && Math.abs(wall - forward) <= SKEW_MS;
  return { elapsed_ms: known ? Math.max(0, Math.round(forward)) : null, clock_ms: touch.clock };
}

/** Return a time of this tablet as the site's clock on the wall shows it: 10:42. */
export function siteClock(wallMs) {
  const zone = document.body.dataset.zone || undefined;
  const at = new Date(wallMs + (offsetNow() ?? 0));
  return new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: zone }).format(at);
}

/** Return the offset in milliseconds; null if none is known, or the wall clock was set since. */
function offsetNow() {
  if (measured !== null) {
    const drift = Date.now() - measured.wall - (performance.now() - measured.forward);
    return Math.abs(drift) <= SKEW_MS ? measured.offset : null;
  }
  const kept = localStorage.getItem(KEPT);
  return kept === null ? null : Number(kept);
}
