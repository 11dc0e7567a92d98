// What a scan does on this page: a command card presses, a field that takes the code gets it,
// else the site says what the code is. Each answers with a picture, words and one tone.

import { takeVialAlone } from "./alone_table.js";
import { ownPage } from "./own.js";
import { catchScans } from "./scans.js";
import { post } from "./sending.js";
import { made } from "./telling.js";
import { soundNotTaken, soundTaken } from "./tones.js";
import { say } from "./words.js";

const TWICE_MS = 2000;
const SETTINGS = "thawline.scanner";

let last = { text: "", at: -Infinity };
let person = "";

/** Return what this tablet has learned of its scanner. */
export const scannerHere = () => JSON.parse(localStorage.getItem(SETTINGS) ?? "{}");

/** Keep what was learned of the scanner, on this tablet. */
export const keepScanner = (learned) => localStorage.setItem(SETTINGS, JSON.stringify(learned));

/** Answer every scan on this page, but where the page wants the scans for itself. */
export function answerScans() {
  if (document.getElementById("scanner-test")) return;
  const { gapMs, prefix } = scannerHere();
  catchScans((text) => void scanned(text), { gapMs, prefix });
}

async function scanned(text) {
  const now = performance.now();
  if (text === last.text && now - last.at < TWICE_MS) return;
  last = { text, at: now };
  const act = cards().get(text.trim().toUpperCase());
  if (act !== undefined) pressCard(act);
  else await askSite(text);
}

/** Return the page's command cards: the text of each, and the act that it presses. */
function cards() {
  const told = (document.body.dataset.cards ?? "").split(" ").filter(Boolean);
  return new Map(told.map((each) => each.split("=")));
}

function pressCard(act) {
  const forms = [...document.querySelectorAll(`form[data-act="${act}"]`)];
  if (forms.some((form) => form.elements.person)) {
    pressOfPerson(forms);
    return;
  }
  const marked = forms.filter((form) => "card" in form.dataset);
  const form = [marked, forms].find((each) => each.length === 1)?.[0];
  const buttons = [...(form?.querySelectorAll("button:not([disabled])") ?? [])];
  const button = buttons.length === 1 ? buttons[0] : buttons.find((each) => "card" in each.dataset);
  if (button) {
    show(button.textContent.trim(), true);
    send(form, button);
  } else if (buttons.length) {
    buttons[0].focus();
    show(say("Choose on the screen which."), false);
  } else {
    show(forms.length ? say("Scan the code first, or press it on the screen.") : say("This screen has no such button now."), false);
  }
}

/** Press the button of whoever was scanned last, once; for others a card presses nothing. */
function pressOfPerson(forms) {
  const code = person;
  person = "";
  const form = forms.find((each) => each.elements.person.value === code);
  if (!code) show(say("Scan the person's code first, then this card."), false);
  else if (!form) show(say("{} is not on this page. Look at the list.", code), false);
  else if (!("card" in form.dataset)) show(say("Not yet: look at the time beside {}.", code), false);
  else {
    show(`${form.querySelector("button").textContent.trim()}: ${code}`, true);
    send(form);
  }
}

/** Send a form because of a scan. */
function send(form, button) {
  form.dataset.scanned = "yes";
  form.requestSubmit(button);
}

async function askSite(text) {
  const { separator, hyphen, swapped, caps } = scannerHere();
  const habits = Object.fromEntries(Object.entries({ separator, hyphen, swapped, caps }).filter(([, value]) => value !== undefined));
  let meant;
  try {
    const answer = await post("/api/scan", { text, screen: document.body.dataset.screen, ...habits });
    meant = await answer.json();
  } catch {
    alone(text);
    return;
  }
  if (meant.thing === "card") pressCard(meant.act);
  else follow(meant, text);
}

/** Return the field of such fields that waits for a code: where the cursor is, else the first in sight. */
function waiting(such) {
  const fields = [...document.querySelectorAll(such)];
  return withCursor(such) ?? fields.find((field) => field.checkVisibility());
}

const withCursor = (such) => (document.activeElement?.matches(such) ? document.activeElement : undefined);

/** Return the field that takes what was scanned; a badge lets in, unless the cursor waits for one. */
function fieldFor({ thing }) {
  const such = `[data-scan~="${thing}"]`;
  return thing === "badge" ? withCursor(such) : waiting(such);
}

/** Take a code while the server is away: only a field that waits for one can have it. */
function alone(text) {
  const code = text.trim().toUpperCase();
  if (takeVialAlone(code)) {
    show(say("{} is not checked: the server is away. Read lot and use-by on its flag.", code), true);
    return;
  }
  const field = waiting("[data-scan]");
  if (field) fill(field, code);
  show(say("The server is away: nobody can look {} up. Read lot and use-by from the flag.", text), false);
}

function follow(meant, text) {
  if (meant.taken && meant.thing === "person") person = meant.code;
  const anew = meant.thing ? undefined : withCursor('[data-scan~="unknown"]');
  if (anew) {
    fill(anew, text);
    show(say("{}: not known here yet.", text), true);
    return;
  }
  show(meant.says, meant.taken, meant);
  if (!meant.taken) return;
  const field = fieldFor(meant);
  if (field) {
    fill(field, meant.code);
    if (field.form && field.dataset.then !== "wait") send(field.form);
  } else if (meant.thing === "badge") {
    comeIn(meant.code);
  } else if (meant.goto && new URL(meant.goto, location.href).href !== location.href) {
    location.assign(meant.goto);
  }
}

/** Let whoever's badge it is in: at once if they typed their PIN here this shift. */
function comeIn(badge) {
  const word = document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";
  const told = { name: badge, csrfmiddlewaretoken: word, _next: location.pathname };
  const fields = Object.entries(told).map(([name, value]) => made("input", { type: "hidden", name, value }));
  const form = made("form", { method: "post", action: "/door", hidden: "" }, ...fields);
  document.body.append(form);
  form.submit();
}

function fill(field, code) {
  field.value = code;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** Show the answer to a scan: words, the sign of the level, the vial's picture, what is offered. */
function show(says, taken, { picture = "", offers = [] } = {}) {
  const place = document.getElementById("scanned");
  place.className = `scanned ${taken ? "taken" : "not-taken"}`;
  place.hidden = false;
  const sign = made("span", { class: "sign", "aria-hidden": "true", text: taken ? "\u2713" : "?" });
  place.replaceChildren(sign, made("p", { text: says }));
  if (picture) place.append(drawn(picture));
  for (const offer of offers) {
    const button = made("button", { type: "button", text: offer.says });
    button.addEventListener("click", () => void askSite(offer.text));
    place.append(button);
  }
  if (taken) soundTaken();
  else soundNotTaken();
}

function drawn(picture) {
  const page = new DOMParser().parseFromString(ownPage(picture), "text/html");
  return made("div", { class: "picture" }, ...page.body.children);
}
