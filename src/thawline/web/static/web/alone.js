// What the page says while the server is away, and what is kept here until it is back.

import { showAloneTable } from "./alone_table.js";
import { all, note } from "./kept.js";
import { siteClock } from "./moments.js";
import { flush, news } from "./sending.js";
import { made, untellKept } from "./telling.js";
import { say } from "./words.js";

const SINCE = "thawline.silent-since";
const MOST_SHOWN = 8;

/** The server did not answer. */
export function isAway() {
  if (!localStorage.getItem(SINCE)) localStorage.setItem(SINCE, String(Date.now()));
  void showKept();
}

/** The server answered. */
export function isBack() {
  if (!localStorage.getItem(SINCE)) return;
  localStorage.removeItem(SINCE);
  flush();
  void showKept();
}

/** Show the band and the entries that are kept; again after each that was sent. */
export async function showKept() {
  const entries = await all();
  const since = localStorage.getItem(SINCE);
  const [aside, waiting] = [entries.filter((each) => each.parked), entries.filter((each) => !each.parked)];
  if (!waiting.length) untellKept();
  band(since, waiting);
  list(since, aside, waiting);
  showAloneTable(Boolean(since));
}

function band(since, waiting) {
  const line = document.getElementById("alone");
  const sentences = [];
  if (since) sentences.push(say("Working on its own since {}.", siteClock(Number(since))));
  if (document.body.dataset.kept) {
    sentences.push(say("This page is as it was at {}: read use-by from the flag.", siteClock(Number(document.body.dataset.kept))));
  }
  if (waiting.length) sentences.push(say("{} will be sent later.", counted(waiting.length)));
  line.textContent = sentences.join(" ");
  line.hidden = sentences.length === 0;
}

const counted = (count) => (count === 1 ? say("1 entry") : say("{} entries", count.toLocaleString("en-US")));

function list(since, aside, waiting) {
  const place = document.getElementById("kept");
  const shown = since ? waiting.slice(-MOST_SHOWN) : [];
  place.replaceChildren(...aside.map(setAside));
  if (shown.length) {
    const lines = shown.map((each) => made("li", { text: `${siteClock(each.touch.wall)} ${each.says}` }));
    const more = waiting.length - shown.length;
    const title = made("p", { text: more ? say("The last {} of {} kept here", shown.length, counted(waiting.length)) : say("Kept here") });
    place.append(made("div", { class: "panel" }, title, made("ul", {}, ...lines)));
  }
  place.hidden = !place.childElementCount;
}

/** Return the slab of an entry that the site has not taken, with what can be done. */
function setAside(entry) {
  const at = siteClock(entry.touch.wall);
  const what = made("p", { class: "what" }, made("b", { text: say("Not recorded: {}", entry.says) }));
  const form = made("form", { class: "again" });
  if (entry.question) {
    const id = `when-${entry.number}`;
    form.append(made("label", { for: id, text: say("Time of the press") }), made("input", { id, type: "time", required: "" }));
  }
  form.append(made("button", { text: say("Send again") }));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void sendAgain(entry, form.querySelector("input")?.value ?? "");
  });
  const why = entry.question ? say("This tablet was started anew: type when it was pressed.") : say("Pressed {}. {}", at, entry.parked);
  const says = made("p", { text: why });
  return made("section", { class: "slab stop", "aria-label": say("Not recorded") }, bars(), made("div", {}, what, says, form));
}

function bars() {
  return made("span", { class: "bars", "aria-hidden": "true" }, made("i"), made("i"), made("i"));
}

async function sendAgain(entry, typed) {
  await note(entry.number, { parked: "", tries: 0, typed });
  flush();
}

for (const each of ["sent", "taken-back"]) news.addEventListener(each, () => void showKept());
