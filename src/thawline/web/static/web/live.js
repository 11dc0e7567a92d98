// Keeps the page as the site is: asks every two seconds, exchanges the live part when it changed.

import { isAway, isBack } from "./alone.js";
import { showHolds } from "./holds.js";
import { isLocked } from "./lock.js";
import { ownPage } from "./own.js";
import { untell } from "./telling.js";

const EVERY_MS = 2000;
const SLOW_MS = 4000;
const PAGES = "thawline-pages";

let tag = null;
let asking = false;
let begun = false; // somebody has typed or chosen something here that is not sent yet

/** Ask for the page again and again; what somebody has begun to type is left as it is. */
export function keepLive() {
  document.addEventListener("input", (event) => {
    if (event.isTrusted && event.target.closest?.("#main")) begun = true;
  });
  void look();
  setInterval(look, EVERY_MS);
}

async function look() {
  if (document.hidden || isLocked() || asking) return;
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
  if (always) begun = false;
  exchange(text, begun || isTyping());
}

/** Keep the newest form of a station's own page for the time the server is away. */
async function keepPage(answer, text) {
  if (answer.headers.get("Thawline-Keep") !== "yes") return;
  const headers = { "Content-Type": "text/html; charset=utf-8", "Kept-At": String(Date.now()) };
  const kept = await caches.open(PAGES);
  await kept.put(location.pathname, new Response(text, { headers }));
}

/** Say whether somebody is about to send what they typed or chose, or reads an answer to it. */
function isTyping() {
  const at = document.activeElement;
  if (at?.matches?.("input:not([type=hidden]):not([data-scan]), select, textarea")) return true;
  if (document.querySelector("[data-still]")) return true;
  return [...document.querySelectorAll("#live input:not([type=hidden]), #live select")].some(isChanged);
}

function isChanged(field) {
  if (field.matches("[type=radio], [type=checkbox]")) return field.checked !== field.defaultChecked;
  if (field.matches("select")) return [...field.options].some((each) => each.selected !== each.defaultSelected && field.selectedIndex > 0);
  return field.value !== field.defaultValue;
}

function exchange(text, onlyAlerts) {
  const page = new DOMParser().parseFromString(ownPage(text), "text/html");
  const [old, fresh] = [document.getElementById("live"), page.getElementById("live")];
  if (old && fresh) {
    if (onlyAlerts) exchangeAlerts(old, fresh);
    else exchangeAll(old, fresh);
  }
  const [header, newHeader] = [document.querySelector("header"), page.querySelector("header")];
  if (header && newHeader && header.outerHTML !== newHeader.outerHTML) header.replaceWith(newHeader);
  delete document.body.dataset.kept;
  if (page.body.dataset.presser) document.body.dataset.presser = page.body.dataset.presser;
  void showHolds();
}

/** Exchange the live part; what had the focus has it again, if it is still there. */
function exchangeAll(old, fresh) {
  const pressed = "a, button, [tabindex]";
  const at = [...old.querySelectorAll(pressed)].indexOf(document.activeElement);
  const says = document.activeElement?.textContent;
  old.replaceWith(fresh);
  const same = at < 0 ? null : fresh.querySelectorAll(pressed)[at];
  if (same?.textContent === says) same.focus({ preventScroll: true });
}

/** Exchange what stands above the main part: alerts must be seen while somebody types. */
function exchangeAlerts(old, fresh) {
  const above = (live) => [...live.children].slice(0, [...live.children].findIndex((each) => each.id === "main"));
  const [was, is] = [above(old), above(fresh)];
  old.dataset.holds = fresh.dataset.holds ?? "";
  if (was.map((each) => each.outerHTML).join() === is.map((each) => each.outerHTML).join()) return;
  for (const each of was) each.remove();
  old.prepend(...is);
}
