// Entries kept on this tablet until the site has answered them: encrypted, in order, never dropped.
// Web Cryptography API and Indexed Database API 3.0, W3C.

const NAME = "thawline";
/** So many entries, and bytes, are kept at most; then the page says so and takes no more. */
export const MOST = { entries: 5000, bytes: 5 * 1024 * 1024 };

const NEWEST = "thawline.newest";

let opened = null;

/** Thrown when the tablet keeps as much as it may. */
export class FullError extends Error {}

function base() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("entries", { keyPath: "number", autoIncrement: true });
      asked.result.createObjectStore("own", { keyPath: "name" });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function inside(store, mode, ask) {
  const at = (await base()).transaction(store, mode, { durability: "strict" });
  const answer = ask(at.objectStore(store));
  return new Promise((resolve, reject) => {
    at.oncomplete = () => resolve(answer?.result);
    at.onabort = () => reject(at.error);
  });
}

/** Return this tablet's own code and key, made once; the key cannot be read out of the browser. */
export async function own() {
  return navigator.locks.request("thawline-own", async () => {
    const found = await inside("own", "readonly", (store) => store.get("own"));
    if (found) return found;
    const key = await crypto.subtle.generateKey({ name: "AES-GCM", length: 256 }, false, ["encrypt", "decrypt"]);
    const code = Array.from(crypto.getRandomValues(new Uint8Array(4)), (byte) => byte.toString(16).padStart(2, "0"));
    const made = { name: "own", tablet: code.join(""), key, last: 0 };
    await inside("own", "readwrite", (store) => store.put(made));
    return made;
  });
}

/** Keep an entry, on disk when this returns; returns its number on this tablet. */
export async function keep(entry) {
  const box = await sealed(entry);
  const { entries, bytes } = await size();
  if (entries >= MOST.entries || bytes + box.data.byteLength > MOST.bytes) throw new FullError();
  const row = { id: entry.id, box, bytes: box.data.byteLength, tries: 0, parked: "" };
  const number = await inside("entries", "readwrite", (store) => store.add(row));
  localStorage.setItem(NEWEST, String(number));
  return number;
}

/** Return the number of the newest entry that this tablet ever kept; 0 if none. */
export const newest = () => Number(localStorage.getItem(NEWEST) ?? 0);

/** Return the entries that are kept, in the order of the touches. */
export async function all() {
  return Promise.all((await rows()).filter((row) => !row.takenBack).map(unsealed));
}

const rows = () => inside("entries", "readonly", (store) => store.getAll());

/** Say whether the entry with this id is kept here. */
export const isKept = async (id) => (await rows()).some((row) => row.id === id && !row.takenBack);

/** Return the first entry that is to be sent; null if none is. */
export async function head() {
  const at = (await base()).transaction("entries", "readonly");
  const row = await new Promise((resolve, reject) => {
    const asked = at.objectStore("entries").openCursor();
    asked.onsuccess = () => (asked.result?.value.parked || asked.result?.value.takenBack ? asked.result.continue() : resolve(asked.result?.value));
    asked.onerror = () => reject(asked.error);
  });
  return row ? unsealed(row) : null;
}

/** End an entry: the site has answered it for good. */
export const end = (number) => inside("entries", "readwrite", (store) => store.delete(number));

/** Change what is known of an entry: how often it was tried, why it is set aside, a typed time. */
export const note = (number, change) => changed(number, (row) => ({ ...row, ...change }));

/** Note that an entry is about to be sent; say whether it still is to be. */
export const claim = (number) => changed(number, (row) => (row.takenBack ? null : { ...row, asked: true }));

/** Take an entry back that was certainly never sent; say whether it was one. Its number stays. */
export const takeBack = (number) => changed(number, (row) => (row.asked || row.takenBack ? null : emptied(row)));

/** Give up an entry that has become empty of meaning; its number stays. */
export const giveUp = (number) => changed(number, emptied);

const emptied = ({ number, id }) => ({ number, id, bytes: 0, takenBack: true });

/** Return the numbers of entries that the site must not wait for. */
export const takenBack = async () => (await rows()).filter((row) => row.takenBack).map((row) => row.number);

/** Change a row in one step; `change` returns what becomes of it, null: it stays as it is. */
async function changed(number, change) {
  const at = (await base()).transaction("entries", "readwrite", { durability: "strict" });
  const store = at.objectStore("entries");
  let done = false;
  store.get(number).onsuccess = ({ target }) => {
    const row = target.result ? change(target.result) : null;
    if (!row) return;
    done = true;
    store.put(row);
  };
  return new Promise((resolve, reject) => {
    at.oncomplete = () => resolve(done);
    at.onabort = () => reject(at.error);
  });
}

/** Return how many entries wait and how many bytes they take. */
export async function size() {
  const kept = (await rows()).filter((row) => !row.takenBack);
  return { entries: kept.length, bytes: kept.reduce((sum, row) => sum + row.bytes, 0) };
}

async function sealed(entry) {
  const { key } = await own();
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const plain = new TextEncoder().encode(JSON.stringify(entry));
  return { iv, data: await crypto.subtle.encrypt({ name: "AES-GCM", iv }, key, plain) };
}

async function unsealed(row) {
  const { key } = await own();
  const plain = await crypto.subtle.decrypt({ name: "AES-GCM", iv: row.box.iv }, key, row.box.data);
  const { number, tries, parked, question, typed } = row;
  return { ...JSON.parse(new TextDecoder().decode(plain)), number, tries, parked, question, typed };
}
