// Sends what is kept, in the order of the touches, until the site has answered each for good.

import { all, claim, end, giveUp, head, isKept, note } from "./kept.js";
import { measure, sentMoment } from "./moments.js";
import { say } from "./words.js";

/** After so long a press counts as kept; the page goes on and it is sent later. */
export const SLOW_MS = 4000;
const LATER_SLOW_MS = 15000;
const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 30000;
const TRIES = 3;
const NOT_THERE = "not-found";

export const news = new EventTarget();
let csrf = document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";
let waitMs = FIRST_WAIT_MS;
let waiting = null;
let again = false;

/** Ask the site for something with this page's word; the word is renewed where it is too old. */
export async function post(address, body, slowMs = SLOW_MS) {
  let answer = await posted(address, body, slowMs);
  if ((await isStale(answer)) && (await ask())) answer = await posted(address, body, slowMs);
  return answer;
}

async function isStale(answer) {
  if (answer.status !== 403) return false;
  const told = await answer.clone().json().catch(() => ({}));
  return told.error === "stale";
}

function posted(address, body, slowMs) {
  return fetch(address, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": csrf },
    body: JSON.stringify(body),
    signal: AbortSignal.timeout(slowMs),
    redirect: "manual",
  });
}

/** Ask the site for its time and a fresh word; say whether it answered. */
export async function ask() {
  const askedAt = performance.now();
  try {
    const answer = await fetch("/api/state", { cache: "no-store", signal: AbortSignal.timeout(SLOW_MS) });
    if (!answer.ok) return false;
    const told = await answer.json();
    measure(told.now_ms, askedAt, performance.now());
    csrf = told.csrf;
    return true;
  } catch {
    return false;
  }
}

/** Send now what is kept; a wait that runs is cut short and begins anew. */
export function flush() {
  clearTimeout(waiting);
  waiting = null;
  again = true;
  void navigator.locks.request("thawline-sending", { ifAvailable: true }, (lock) => lock && sendAll());
}

async function sendAll() {
  while (again) {
    again = false;
    for (let entry = await head(); entry; entry = await head()) {
      const outcome = await sendOne(entry);
      news.dispatchEvent(new CustomEvent("sent", { detail: { entry, ...outcome } }));
      if (outcome.wait) {
        if (outcome.told?.login) await sendStamps();
        later();
        break;
      }
      waitMs = FIRST_WAIT_MS;
    }
  }
  news.dispatchEvent(new Event("quiet"));
}

/** Send the stamps of the emergency card past what waits for its person to log in: anybody may stamp. */
async function sendStamps() {
  for (const entry of (await all()).filter((each) => each.act === "stamp" && !each.parked)) {
    const outcome = await sendOne(entry);
    news.dispatchEvent(new CustomEvent("sent", { detail: { entry, ...outcome } }));
    if (outcome.wait) return;
  }
}

/** Wait before the next try: from 1 s to 30 s, each time twice as long, and never in step. */
function later() {
  const chance = 0.5 + crypto.getRandomValues(new Uint8Array(1))[0] / 510;
  clearTimeout(waiting);
  waiting = setTimeout(flush, waitMs * chance);
  waitMs = Math.min(LONGEST_WAIT_MS, waitMs * 2);
}

async function sendOne(entry) {
  if (!(await claim(entry.number))) return { tried: true };
  let answer;
  try {
    answer = await post(`/api/act/${entry.act}`, bodyOf(entry), entry.tries ? LATER_SLOW_MS : SLOW_MS);
  } catch {
    return { wait: true, away: true };
  }
  const told = answer.headers.get("Content-Type")?.includes("json") ? await answer.json() : {};
  return settled(entry, answer.status, told);
}

function bodyOf(entry) {
  const { id, form, station, why, presser, tablet, number } = entry;
  const moment = entry.typed ? { typed: entry.typed } : sentMoment(entry.touch);
  return { id, form, station, why, presser, tablet, device_seq: number, ...moment };
}

/** Say what an answer means for an entry: it ends, waits, is tried again, or is set aside. */
async function settled(entry, status, told) {
  if (status === 200 || (status === 409 && told.error !== undefined)) {
    await end(entry.number);
    return { done: true, refused: status === 409, told };
  }
  if (entry.act === "undo" && told.error === NOT_THERE && !(await isKept(entry.form.entry))) {
    await giveUp(entry.number); // what it undoes was refused: there is nothing to undo
    return { done: true, told };
  }
  if (status === 401 || status === 0) return { wait: true, told: { ...told, login: true } };
  if (status === 503) return { wait: true, told };
  if (told.error === "reused-id") return setAside(entry, say("Two records. {}", told.says), {});
  if (told.needs === "time") return setAside(entry, told.says, { question: true, typed: "" });
  if (entry.tries + 1 >= TRIES) return setAside(entry, told.says ?? say("The site answered {}", status), {});
  await note(entry.number, { tries: entry.tries + 1 });
  return { wait: true, told, tried: true };
}

async function setAside(entry, why, more) {
  const says = why ? why[0].toUpperCase() + why.slice(1) : "";
  await note(entry.number, { parked: says || say("The site did not say why"), tries: entry.tries + 1, ...more });
  return { parked: true, told: { says } };
}
