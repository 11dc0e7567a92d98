// What the page's scripts say, in the language of the page; the page brings the words with it.

const there = JSON.parse(document.getElementById("words")?.textContent ?? "{}");

/** Return a sentence in the page's language, its gaps filled; in English where it is not known. */
export function say(words, ...parts) {
  const following = parts[Symbol.iterator]();
  return (there[words] ?? words).replace(/\{(\d?)\}/g, (_, at) => String(at ? parts[at - 1] : following.next().value));
}
