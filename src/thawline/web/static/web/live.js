// Keeps the page as the site is: asks every two seconds, exchanges the live part when it changed.

import { isLocked } from "./lock.js";
import { ownPage } from "./own.js";

const EVERY_MS = 2000;

let tag = null;
let silentSince = null;

/** Ask for the page again and again, while nobody types in it. */
export function keepLive() {
  setInterval(look, EVERY_MS);
}

async function look() {
  if (document.hidden || isLocked() || isTyping()) return;
  let answer;
  try {
    answer = await fetch(location.href, {
      headers: tag ? { "If-None-Match": tag } : {},
      redirect: "manual",
      cache: "no-store",
    });
  } catch {
    worksAlone();
    return;
  }
  isHeard();
  if (answer.type === "opaqueredirect") location.reload();
  if (!answer.ok) return;
  tag = answer.headers.get("ETag");
  if (!isTyping()) exchange(await answer.text());
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
}

function worksAlone() {
  silentSince ??= new Date();
  const line = document.getElementById("alone");
  const since = silentSince.toTimeString().slice(0, 5);
  line.textContent = `Working on its own since ${since}`;
  line.hidden = false;
}

function isHeard() {
  silentSince = null;
  document.getElementById("alone").hidden = true;
}
