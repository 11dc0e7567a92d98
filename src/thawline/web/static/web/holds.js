// A tablet that has shown a hold says so, once, so that a runner knows where it has not been seen.

import { end, newest, own, size, takenBack } from "./kept.js";
import { post } from "./sending.js";

const KEPT = "thawline.holds";
const MOST_BACK = 500;

/** Tell the site which holds are on this page, if somebody can see it. */
export async function showHolds() {
  if (document.hidden) return;
  const told = new Set(JSON.parse(localStorage.getItem(KEPT) ?? "[]"));
  const shown = (document.getElementById("live")?.dataset.holds ?? "").split(" ").filter(Boolean).map(Number);
  const fresh = shown.filter((hold) => !told.has(hold));
  if (fresh.length && (await sayWord(fresh))) localStorage.setItem(KEPT, JSON.stringify(shown));
}

/** Tell the site this tablet's code, its newest entry's number, how many wait, what was taken back. */
export async function sayWord(holds = []) {
  const [{ tablet }, { entries }] = [await own(), await size()];
  try {
    const back = (await takenBack()).slice(0, MOST_BACK);
    const answer = await post("/api/heard", { tablet, last: newest(), waiting: entries, holds, taken_back: back });
    if (answer.ok) for (const number of back) await end(number);
    return answer.ok;
  } catch {
    return false;
  }
}
