// The draw table while the server is away: a vial of which this page knows nothing is opened and
// drawn from by its flag. Nothing is checked here; what is pressed is kept as a fact.

import { made } from "./telling.js";
import { say } from "./words.js";

const CODE = /^[A-Z]{2}\d{2}[A-Z]$/;

/** Offer a field for the code on a flag, if this is a draw table; take it away again if not. */
export function showAloneTable(isAlone) {
  const place = document.getElementById("alone-table");
  if (!isAlone || document.body.dataset.screen !== "draw-table") {
    place?.remove();
    return;
  }
  if (!place) document.getElementById("kept").after(table());
}

/** Take a scanned code as the vial to work on; say whether this page wants it. */
export function takeVialAlone(text) {
  const place = document.getElementById("alone-table");
  if (!place || !CODE.test(text)) return false;
  presses(place, text);
  return true;
}

function table() {
  const field = made("input", { id: "alone-code", autocomplete: "off", maxlength: "5" });
  const label = made("label", { for: "alone-code", text: say("Another vial: the code on its flag") });
  const form = made("form", {}, label, field, made("button", { text: say("Work on this vial") }));
  const place = made("section", { id: "alone-table", class: "kept", "aria-label": say("Another vial") }, made("div", { class: "panel" }, form));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!takeVialAlone(field.value.trim().toUpperCase())) field.focus();
  });
  return place;
}

function presses(place, code) {
  place.querySelector(".presses")?.remove();
  place.querySelector(".unchecked")?.remove();
  const says = say("{} is not checked while the server is away. Read lot and use-by on its flag. If it was held: HELD – DO NOT USE.", code);
  const acts = [
    ["open-vial", say("{} opened: write use-by on its flag", code), {}],
    ["draw-dose", say("1 dose drawn from {}", code), {}],
    ["hold-vial", say("Something wrong: hold {}", code), { _why: "not said, while the server was away" }],
  ];
  const forms = acts.map(([act, label, more]) => press(act, label, { vial: code, ...more }));
  place.append(made("p", { class: "unchecked", text: says }), made("div", { class: "presses gloved" }, ...forms));
}

function press(act, label, fields) {
  const hidden = Object.entries(fields).map(([name, value]) => made("input", { type: "hidden", name, value }));
  return made("form", { method: "post", action: `/act/${act}`, "data-act": act }, ...hidden, made("button", { text: label }));
}
