// A scanner is a keyboard that types fast. One catcher a page takes its bursts, whatever has the focus.

const PREFIX_GAP = 8; // a scanner that names itself by a prefix may be this much slower
const SHAPES = [/^(?=.*\d)(?=.*[A-Z])[A-Z0-9]{5}$/i, /^CARD[A-Z0-9]+$/i]; // a flag, or nearly; a card

/** Takes characters with their times and says what was scanned; knows nothing of the page. */
export class Catcher {
  /**
   * @param {{gapMs?: number, least?: number, prefix?: string}} settings: the longest time between
   *   two characters of a scan, the fewest characters, and what the scanner types before each code.
   */
  constructor({ gapMs = 35, least = 8, prefix = "" } = {}) {
    Object.assign(this, { gapMs, least, prefix, text: "", last: -Infinity });
  }

  /** Take one character typed at a time in milliseconds; say whether it begins a new burst. */
  take(character, at) {
    const begins = at - this.last > this.gap();
    this.text = begins ? character : this.text + character;
    this.last = at;
    return begins;
  }

  /** Return the scan that ends at this time, without its prefix; null if a person typed. */
  end(at) {
    const [text, fast] = [this.text, at - this.last <= this.gap()];
    this.text = "";
    this.last = -Infinity;
    if (!fast) return null;
    if (this.prefix && text.startsWith(this.prefix)) return text.slice(this.prefix.length) || null;
    return text.length >= this.least || SHAPES.some((shape) => shape.test(text)) ? text : null;
  }

  gap() {
    return this.prefix && this.text.startsWith(this.prefix) ? this.gapMs * PREFIX_GAP : this.gapMs;
  }
}

/** Return the character that a key types, "" for one that types none. */
export function typedBy(event) {
  if (event.key === "]" && event.ctrlKey) return "\x1d"; // how ASCII 29 reaches a page
  if (event.key.length === 1 && !event.ctrlKey && !event.metaKey) return event.key;
  return /^F\d+$/.test(event.key) ? `<${event.key}>` : "";
}

/**
 * Catch scans on this page and hand each text to `onScan`. What a scan typed into a field on its
 * way is taken out again; its Enter presses nothing.
 */
export function catchScans(onScan, settings = {}) {
  const catcher = new Catcher(settings);
  let before = null;
  document.addEventListener(
    "keydown",
    (event) => {
      if (event.repeat || event.isComposing) return;
      if (event.key === "Enter" || event.key === "Tab") {
        const text = catcher.end(event.timeStamp);
        if (text === null) return;
        event.preventDefault();
        event.stopImmediatePropagation();
        putBack(before);
        onScan(text);
        return;
      }
      const character = typedBy(event);
      if (!character) return;
      if (character !== event.key) event.preventDefault();
      if (catcher.take(character, event.timeStamp)) before = kept(document.activeElement);
    },
    { capture: true },
  );
}

/** Remember a field as it was before the first character of a burst. */
function kept(field) {
  if (!field?.matches?.("input, select, textarea")) return null;
  const marks = field.selectionStart === null || field.selectionStart === undefined;
  return { field, value: field.value, from: marks ? null : field.selectionStart, to: field.selectionEnd };
}

function putBack(before) {
  if (!before || before.field.value === before.value) return;
  before.field.value = before.value;
  if (before.from !== null) before.field.setSelectionRange(before.from, before.to);
  before.field.dispatchEvent(new Event("input", { bubbles: true }));
}
