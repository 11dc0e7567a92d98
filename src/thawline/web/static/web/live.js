// Keeps the page as the site is: asks every two seconds, exchanges the live part when it changed.

import { isAway, isBack } from "./alone.js";
import { showHolds } from "./holds.js";
import { ownPage } from "./own.js";
import { untell } from "./telling.js";

const EVERY_MS = 2000;
const SLOW_MS = 4000;
const PAGES = "thawline-pages";

let tag = null;
let asking = false;

/** Ask for the page again and again, while nobody types in it. */
export function keepLive() {
  void look();
  setInterval(look, EVERY_MS);
}

async function look() {
  if (document.hidden || isTyping() || asking) return;
  asking = true;
  try {
    await askFor(location.href, tag ? { "If-None-Match": tag } : {});
  } finally {
    asking = false;
  }
}

/** Show the page that comes after a press; another one is opened as a whole. */
export async function showPage(address) {
  if (new URL(address, location.href).pathname !== location.pathname) {
    location.assign(address);
    return;
  }
  untell();
  tag = null;
  await askFor(location.href, {}, { always: true });
}

async function askFor(address, headers, { always = false } = {}) {
  let answer;
  let text = "";
  try {
    const signal = AbortSignal.timeout(SLOW_MS);
    answer = await fetch(address, { headers, redirect: "manual", cache: "no-store", signal });
    if (answer.ok) text = await answer.text();
  } catch {
    isAway();
    return;
  }
  isBack();
  if (answer.type === "opaqueredirect") location.reload();
  if (!answer.ok) return;
  tag = answer.headers.get("ETag");
  void keepPage(answer, text);
  if (always || !isTyping()) exchange(text);
}

/** Keep the newest form of a station's own page for the time the server is away. */
async function keepPage(answer, text) {
  if (answer.headers.get("Thawline-Keep") !== "yes") return;
  const headers = { "Content-Type": "text/html; charset=utf-8", "Kept-At": String(Date.now()) };
  const kept = await caches.open(PAGES);
  await kept.put(location.pathname, new Response(text, { headers }));
}

/** Say whether somebody is about to send what they typed or chose. */
function isTyping() {
  const at = document.activeElement;
  return at?.matches?.("input:not([type=hidden]), select, textarea") ?? false;
}

function exchange(text) {
  const page = new DOMParser().parseFromString(ownPage(text), "text/html");
  for (const part of ["#live", "header"]) {
    const [old, fresh] = [document.querySelector(part), page.querySelector(part)];
    if (old && fresh && old.outerHTML !== fresh.outerHTML) old.replaceWith(fresh);
  }
  delete document.body.dataset.kept;
  if (page.body.dataset.presser) document.body.dataset.presser = page.body.dataset.presser;
  showHolds();
}
