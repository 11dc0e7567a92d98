// Lines that this page's own script shows: made of text alone, never of markup.

/** Make an element with text and children. */
export function made(name, { text, ...rest } = {}, ...children) {
  const element = document.createElement(name);
  if (text !== undefined) element.textContent = text;
  for (const [key, value] of Object.entries(rest)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

/**
 * Show one line above the page, with what can be done about it; `level` is "kept", or "stop" where
 * something was not recorded.
 */
export function tell(says, level = "kept", ...more) {
  const line = document.getElementById("told-line") ?? made("div", { id: "told-line", role: "status" });
  line.replaceChildren(made("p", { text: says }), ...more);
  line.className = level === "stop" ? "told-line slab stop" : "told-line said";
  document.getElementById("kept").before(line);
}

/** Take the line away again: the page shows what became of it. */
export const untell = () => document.getElementById("told-line")?.remove();

/** Take away a line that says that something will be sent later: it was. */
export const untellKept = () => document.querySelector("#told-line.said")?.remove();
