// A press is kept on the tablet before it is sent. What it says of a person by name is not kept.

import { mint } from "./ids.js";
import { sayWord } from "./holds.js";
import { FullError, keep, own, takeBack } from "./kept.js";
import { showPage } from "./live.js";
import { siteClock, touched } from "./moments.js";
import { flush, news, SLOW_MS } from "./sending.js";
import { made, tell } from "./telling.js";
import { say } from "./words.js";

const DEAD_MS = 250; // a double tap cannot hit the next screen
const SOON_MS = 500;
const UNDO_MS = 60_000;
const NEVER_KEPT = "[type=password], [name^=_pin], [name^=_second], [name=name], [name=called], [name=born], [name=phone], [name=mail], [type=file]";

let deadUntil = performance.now() + DEAD_MS;

/** Say whether the press of a form may be kept here: codes may, names and secrets may not. */
export const mayBeKept = (form) => form.dataset.alone !== "no" && !form.querySelector(NEVER_KEPT);

/** Take over the forms of acts; those that may not be kept are sent as a page sends them. */
export function takePresses() {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-act]") || event.defaultPrevented) return;
    const isScan = "scanned" in form.dataset; // nobody scans twice by a slip of the finger
    delete form.dataset.scanned;
    if (form.dataset.sent || (performance.now() < deadUntil && !isScan)) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    if (!mayBeKept(form)) {
      addId(form);
      return;
    }
    event.preventDefault();
    void press(form, event.submitter);
  });
}

function addId(form) {
  const field = document.createElement("input");
  Object.assign(field, { type: "hidden", name: "_id", value: mint() });
  form.append(field);
}

async function press(form, button) {
  const entry = await entryOf(form, button);
  const kept = keepAndSend(entry, form);
  await kept.begun;
  setTimeout(() => delete form.dataset.sent, DEAD_MS);
  await kept.ended;
}

/** Keep an entry and send it; `begun` once it is kept or cannot be, `ended` once that is shown. */
function keepAndSend({ next, ...entry }, form = null) {
  const answered = answerTo(entry.id);
  const begun = keep(entry).catch((error) => {
    tell(error instanceof FullError ? FULL : `${say("This tablet could not keep the entry.")} ${PAPER}`, "stop");
  });
  const ended = begun.then((number) => {
    if (number === undefined) return undefined;
    flush();
    return answeredOrKept({ ...entry, number }, answered, { next, form });
  });
  return { begun, ended };
}

/** Show what came of a press; one that is not answered soon is said to be kept. */
async function answeredOrKept(entry, answered, { next, form }) {
  const kept = `${siteClock(entry.touch.wall)} ${entry.says}`;
  const until = performance.now() + UNDO_MS;
  const soon = setTimeout(() => tell(say("{}. Kept on this tablet; it is being sent.", kept), "kept", ...undoOf(entry, next, until)), SOON_MS);
  const answer = await Promise.race([answered, new Promise((go) => setTimeout(go, SLOW_MS, {}))]);
  clearTimeout(soon);
  if (undone.has(entry.id)) return;
  if (answer.parked) tell(say("Not recorded: {}. {}", entry.says, answer.told.says), "stop");
  else if (!answer.done) tell(say("{}. Kept on this tablet; it will be sent later.", kept), "kept", ...undoOf(entry, next, until));
  else {
    const before = firstPress();
    if (!answer.refused) form?.reset(); // what was typed is recorded: the page may change
    await showPage(next);
    if (firstPress() !== before) deadUntil = performance.now() + DEAD_MS;
  }
}

const undone = new Set();

/** Return the button that undoes a kept entry, for a minute; none for what is never undone so. */
function undoOf(entry, next, until) {
  const forGood = (document.body.dataset.forGood ?? "undo").split(" ");
  const left = until - performance.now();
  if (forGood.includes(entry.act) || left <= 0) return [];
  const form = made("form", { "data-act": "undo", "data-card": "" }, made("button", { text: say("Undo") }));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    form.remove();
    void undo(entry, next);
  });
  setTimeout(() => form.remove(), left);
  return [form];
}

/** Undo a kept entry: taken back if it was certainly never sent, else an undo is sent after it. */
async function undo(entry, next) {
  undone.add(entry.id);
  const was = `${siteClock(entry.touch.wall)} ${entry.says}`;
  if (await takeBack(entry.number)) {
    tell(say("{}: taken back. It was never sent.", was));
    news.dispatchEvent(new Event("taken-back"));
    void sayWord();
    return;
  }
  const { station, presser, tablet } = entry;
  const more = { id: mint(), act: "undo", form: { entry: entry.id }, why: "", touch: touched() };
  await keepAndSend({ ...more, station, presser, tablet, says: say("Undo of {}", was), next }).ended;
}

/** Return what the page's first button does, to tell whether another one has come in its place. */
function firstPress() {
  const form = document.querySelector("form[data-act]:has(button.primary)");
  return form ? `${form.dataset.act} ${form.elements.vial?.value ?? form.elements.person?.value}` : "";
}

const PAPER = say("Write it on the paper sheet, with the time.");
const FULL = `${say("This tablet keeps 5,000 entries and takes no more until they are sent.")} ${PAPER}`;

async function entryOf(form, button) {
  const touch = touched();
  const fields = Object.fromEntries(new FormData(form, button));
  const { _next: next = location.pathname, _why: why = "", _station: station, ...rest } = fields;
  const told = Object.entries(rest).filter(([name]) => !name.startsWith("_") && name !== "csrfmiddlewaretoken");
  const body = document.body.dataset;
  const { tablet } = await own();
  return {
    id: mint(),
    act: form.dataset.act,
    form: Object.fromEntries(told),
    why,
    station: station ?? body.station ?? "",
    presser: body.presser ?? "",
    tablet,
    touch,
    says: inWords(form, button, rest),
    next,
  };
}

/** Return what was pressed, as its button says it, with the vial or person's code. */
function inWords(form, button, fields) {
  const label = (button ?? form.querySelector("button"))?.textContent.trim() ?? form.dataset.act;
  const code = fields.vial ?? fields.person ?? fields.syringe;
  return code && !label.includes(code) ? `${label}, ${code}` : label;
}

function answerTo(id) {
  return new Promise((resolve) => {
    const hear = ({ type, detail }) => {
      if (type === "sent" && (detail.entry.id !== id || detail.tried)) return;
      for (const each of ["sent", "quiet"]) news.removeEventListener(each, hear);
      resolve(detail ?? {});
    };
    for (const each of ["sent", "quiet"]) news.addEventListener(each, hear);
  });
}
