// The scanner test: two scans of the printed code, the site's word on them, kept on this tablet.

import { keepScanner, scannerHere } from "./scan_answers.js";
import { catchScans } from "./scans.js";
import { post } from "./sending.js";
import { made } from "./telling.js";
import { say } from "./words.js";

/** Run the test where the page has one. */
export function learnScanner() {
  const form = document.getElementById("scanner-test");
  if (!form) return;
  const { gapMs, prefix = "" } = scannerHere();
  form.elements.prefix.value = prefix;
  learnt(form, say("Scan the code now."));
  catchScans((text) => void take(form, text), { gapMs });
  form.elements.prefix.addEventListener("change", () => {
    keepScanner({ ...scannerHere(), prefix: form.elements.prefix.value });
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    keepScanner({});
    location.reload();
  });
}

async function take(form, typed) {
  const { first, second } = form.elements;
  const text = bare(form, typed);
  if (!first.value || second.value) {
    [first.value, second.value] = [visible(text), ""];
    form.dataset.first = text;
    learnt(form, say("Scan the same code once more."));
    return;
  }
  second.value = visible(text);
  try {
    const answer = await post(form.dataset.learn, { first: form.dataset.first, second: text });
    const told = await answer.json();
    if (told.typing) keepScanner({ ...scannerHere(), ...told.typing });
    learnt(form, told.says, told.advice);
  } catch {
    learnt(form, say("The server is away: test again when it is back."));
  }
}

const bare = (form, text) => {
  const prefix = form.elements.prefix.value;
  return prefix && text.startsWith(prefix) ? text.slice(prefix.length) : text;
};

const visible = (text) => text.replaceAll("\x1d", "\u241d");

function learnt(form, says, advice = []) {
  form.querySelector("#learned").textContent = says;
  form.querySelector("#advice").replaceChildren(...advice.map((each) => made("li", { text: each })));
}
