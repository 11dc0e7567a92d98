// Keeps a station going while the server is away: its own page, what the page needs, and the
// emergency card. Asks the server first; after a short wait the kept page, marked as kept.

const PAGES = "thawline-pages";
const PARTS = "thawline-parts";
const WAIT_MS = 3000;
const CARD = "/emergency-card";
const FILES = []; // the site's own files and the mark of their newest form, filled in by the server
const FORM = "";
const away = (says) => `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>The server is away</title><link rel="stylesheet" href="/static/web/site.css"></head>
<body><header><h1>The server is away</h1></header><main id="main"><section class="panel"><p><b>${says}</b></p>
<p><a class="button" href="/">To my screen</a></p><p><a class="button" href="${CARD}">Emergency card</a></p></section></main></body></html>`;
const NOT_KEPT = "This page is not kept on this tablet.";
const NOT_RECORDED = "It is not known whether this press was recorded. Write it on the paper sheet, with the time, and look in the journal when the server is back.";

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(PARTS).then((parts) => parts.addAll(FILES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim().then(keepCard));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== self.location.origin) return;
  if (address.pathname === "/leave") event.waitUntil(caches.delete(PAGES).then(keepCard));
  if (request.mode === "navigate") event.respondWith(page(request, address));
  else if (address.pathname.startsWith("/static/")) event.respondWith(part(request));
});

async function page(request, address) {
  try {
    const answer = await soon(fetch(request), request.method === "GET");
    if (answer.ok && answer.headers.get("Thawline-Keep") === "yes") await keep(address.pathname, answer.clone());
    if (address.pathname === "/language") void caches.delete(PAGES).then(keepCard);
    return answer;
  } catch {
    return kept(request, address);
  }
}

/** Wait a short time for a page that may be kept; a press that is on its way is waited for. */
function soon(answer, isRead) {
  if (!isRead) return answer;
  const late = new Promise((_, refuse) => setTimeout(() => refuse(new Error("slow")), WAIT_MS));
  return Promise.race([answer, late]);
}

async function keep(path, answer) {
  const [pages, text] = [await caches.open(PAGES), await answer.text()];
  const headers = { "Content-Type": "text/html; charset=utf-8", "Kept-At": String(Date.now()) };
  await pages.put(path, new Response(text, { headers }));
}

async function kept(request, address) {
  const pages = await caches.open(PAGES);
  const own = await pages.match(address.pathname === "/" ? (await newestPath(pages)) : address.pathname);
  if (request.method !== "GET") return marked(away(NOT_RECORDED), FORM, 503);
  if (!own) return marked(away(NOT_KEPT), FORM, 503);
  return marked(await own.text(), own.headers.get("Kept-At") ?? "", 200);
}

async function newestPath(pages) {
  const paths = (await pages.keys()).map((each) => new URL(each.url).pathname).filter((path) => path !== CARD);
  return paths.at(-1) ?? CARD;
}

function marked(text, at, status) {
  const headers = { "Content-Type": "text/html; charset=utf-8", "Cache-Control": "no-store", "Content-Security-Policy": POLICY };
  return new Response(text.replace("<body", `<body data-kept="${at}"`), { status, headers });
}

const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types own";

async function part(request) {
  const parts = await caches.open(PARTS);
  try {
    const answer = await soon(fetch(request), true);
    if (answer.ok) await parts.put(request, answer.clone());
    return answer;
  } catch {
    return (await parts.match(request, { ignoreSearch: true })) ?? Response.error();
  }
}

async function keepCard() {
  try {
    const answer = await fetch(CARD);
    if (answer.ok && !answer.redirected) await keep(CARD, answer);
  } catch {
    // Tried again at the next start; the card hangs on the wall as well.
  }
}
