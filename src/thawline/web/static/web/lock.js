// Locks the page when nobody touches it: names are hidden first, what was typed stays behind.

import { say } from "./words.js";
const BLANK_MS = 30_000;
const TOLD_EVERY_MS = 20_000;
const EARLIER_MS = 4000; // than the server would, so that the page is not sent away with its form
const CHECK_MS = 1000;

const WRONG = say("That does not fit, or it was tried too often. Type it again.");
const AWAY = say("The server is away: this screen stays locked until it is back. Work on with the paper sheets. The emergency card opens here, and what was pressed is kept.");

let touchedAt = Date.now();
let toldAt = Date.now();

/** Watch for touches, and lock once there was none for long enough. */
export function lockWhenLeft() {
  const idle = Number(document.body.dataset.idle) * 1000;
  if (!idle) return;
  for (const kind of ["pointerdown", "keydown"]) document.addEventListener(kind, touched, { passive: true });
  document.getElementById("unlock").addEventListener("submit", unlock);
  setInterval(() => look(idle), CHECK_MS);
}

/** Say whether the page is locked. */
export const isLocked = () => document.body.hasAttribute("data-locked");

function touched() {
  if (isLocked()) return;
  touchedAt = Date.now();
  document.body.removeAttribute("data-blank");
  if (touchedAt - toldAt < TOLD_EVERY_MS) return;
  toldAt = touchedAt;
  send("/touched").then((answer) => answer?.status === 423 && lock());
}

function look(idle) {
  if (isLocked()) return;
  const left = Date.now() - touchedAt;
  document.body.toggleAttribute("data-blank", left >= BLANK_MS);
  if (left >= idle - EARLIER_MS) {
    lock();
    send("/lock");
  }
}

function lock() {
  document.body.setAttribute("data-locked", "");
  for (const part of ["header", "#live", "nav", "footer"]) {
    document.querySelector(`body > ${part}`)?.setAttribute("inert", "");
  }
  document.getElementById("lock").hidden = false;
  document.getElementById(document.getElementById("lock-pin") ? "lock-pin" : "lock-phrase").focus();
}

async function unlock(event) {
  event.preventDefault();
  const answer = await send("/door", new FormData(event.target));
  if (answer?.status === 204) return open();
  if (answer?.redirected || answer?.ok) return location.assign("/");
  const said = document.getElementById("lock-said");
  said.textContent = answer ? WRONG : AWAY;
  said.hidden = false;
}

function open() {
  for (const field of document.querySelectorAll("#unlock [type=password]")) field.value = "";
  for (const part of document.querySelectorAll("body > [inert]")) part.removeAttribute("inert");
  document.getElementById("lock").hidden = true;
  document.getElementById("lock-said").hidden = true;
  document.body.removeAttribute("data-locked");
  document.body.removeAttribute("data-blank");
  touchedAt = toldAt = Date.now();
}

async function send(address, body = new FormData()) {
  const token = document.querySelector("#unlock [name=csrfmiddlewaretoken]").value;
  try {
    return await fetch(address, { method: "POST", body, headers: { "X-CSRFToken": token }, cache: "no-store" });
  } catch {
    return null; // away from the server: the page locks by itself, and stays locked
  }
}
