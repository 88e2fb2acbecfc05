importScripts(QUEUE, WORDS);

// Keeps the pages for when there is no signal, and what is written on them until there is.
const SHELL = "shell-" + VERSION;
const KEPT_PAGES = "pages";
const PAGE_PATIENCE_MS = 4000;
const FORM_PATIENCE_MS = 10000;
const PROBE_PATIENCE_MS = 3000;
const MOST_PAGES = 80;
const STALE_MS = 30 * 60 * 1000;
const NO_SIGNAL_PAGE = "/sync/";

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const shell = await caches.open(SHELL);
    await shell.addAll(FILES.map((file) => new Request(file, { cache: "reload" })));
    await Promise.allSettled(PAGES.map(freshen));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name !== SHELL && name !== KEPT_PAGES) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("sync", (event) => event.waitUntil(phoneQueue.send()));

self.addEventListener("message", (event) => {
  if (event.data === "freshen") event.waitUntil(freshenOld());
  if (event.data === "forget") event.waitUntil(phoneQueue.forget());
});

self.addEventListener("fetch", (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (address.origin !== self.location.origin) return;
  if (request.method === "POST") {
    const type = request.headers.get("content-type") || "";
    if (type.includes("form") && !request.headers.has("X-Sending-Id")) event.respondWith(form(request));
  } else if (request.method === "GET") {
    if (address.pathname.startsWith("/static/")) event.respondWith(file(request));
    else if (request.mode === "navigate") event.respondWith(page(event));
  }
});

async function file(request) {
  return (await caches.match(request, { cacheName: SHELL, ignoreSearch: true })) || fetch(request);
}

function within(answer, patience_ms) {
  const late = new Promise((_, no) => setTimeout(() => no(new Error("no answer")), patience_ms));
  return Promise.race([answer, late]);
}

// A plan that takes its time is no lack of signal: the program is asked whether it is there.
async function patiently(asked, patience_ms) {
  asked.catch(() => undefined);
  try {
    return await within(asked, patience_ms);
  } catch (late) {
    const there = await within(fetch("/sync/hello", { cache: "no-store" }), PROBE_PATIENCE_MS).catch(() => null);
    if (!there || !there.ok) throw late;
    return asked;
  }
}

async function page(event) {
  try {
    const answer = await patiently(fetch(event.request), PAGE_PATIENCE_MS);
    if (answer.status >= 502) throw new Error("no program behind the address");
    if (answer.ok && isPage(answer) && !isNeverKept(answer)) event.waitUntil(keepPage(event.request.url, answer.clone()));
    return answer;
  } catch {
    const here = await caches.open(KEPT_PAGES);
    const asked = (new URL(event.request.url).searchParams.get("q") || "").trim().toUpperCase();
    const found = (asked && (await here.match(`/trees/${asked}/`))) || (await here.match(event.request.url)) || (await here.match(event.request.url, { ignoreSearch: true }));
    if (found) return withLine(found, (language) => told("No signal: the page as of {when}. What you write is kept on this phone.", { when: when(found, language) }, language));
    const other = await here.match(NO_SIGNAL_PAGE);
    if (other) return withLine(other, (language) => told("No signal, and that page was not opened on this phone before.", {}, language));
    return Response.error();
  }
}

const isNeverKept = (answer) => (answer.headers.get("cache-control") || "").includes("no-store");
const isPage = (answer) => (answer.headers.get("content-type") || "").startsWith("text/html");

async function keepPage(address, answer) {
  const here = await caches.open(KEPT_PAGES);
  const headers = new Headers(answer.headers);
  headers.set("X-Kept-At", String(Date.now()));
  const url = address.split("#")[0];
  await here.delete(url);
  await here.put(url, new Response(await answer.blob(), { status: 200, headers }));
  const known = (await here.keys()).filter((one) => !PAGES.includes(new URL(one.url).pathname));
  for (const old of known.slice(0, Math.max(0, known.length - MOST_PAGES))) await here.delete(old);
}

async function freshen(address) {
  const answer = await fetch(address, { cache: "no-store", credentials: "same-origin" });
  if (answer.ok && !answer.redirected && isPage(answer) && !isNeverKept(answer)) await keepPage(new URL(address, self.location).href, answer);
}

async function freshenOld() {
  const here = await caches.open(KEPT_PAGES);
  for (const address of PAGES) {
    const found = await here.match(address);
    if (!found || Date.now() - Number(found.headers.get("X-Kept-At")) > STALE_MS) {
      await freshen(address).catch(() => undefined);
    }
  }
}

function when(answer, language) {
  const at = new Date(Number(answer.headers.get("X-Kept-At")));
  const hour = at.toLocaleTimeString(language, { hour: "2-digit", minute: "2-digit" });
  if (at.toDateString() === new Date().toDateString()) return hour;
  return told("{hour} on {day}", { hour, day: at.toLocaleDateString(language, { weekday: "long", day: "numeric", month: "long" }) }, language);
}

async function withLine(answer, words) {
  const text = await answer.text();
  const language = /<html[^>]* lang="([^"]+)"/.exec(text)?.[1] || "en-GB";
  const line = `$&<p class="remark is-care no-signal" role="status">${words(language)}</p>`;
  return new Response(text.replace(/<main id="matter"[^>]*>/, line), { status: 200, headers: answer.headers });
}

// A form that may wait: it is on the disk of the phone before it is sent.
async function form(request) {
  const fields = [...(await request.clone().formData()).entries()];
  const said = new Map(fields);
  if (!said.has("sending_id")) return fetch(request);
  const number = await phoneQueue.add({
    kind: "form", id: said.get("sending_id"), url: new URL(request.url).pathname,
    words: said.get("sending_words") || told("A form"), page: new URL(request.referrer || "/", self.location).pathname,
    fields: fields.filter(([name]) => !["sending_id", "sending_words", "csrfmiddlewaretoken"].includes(name)),
    state: "trying", tried_at_ms: Date.now(),
  });
  const item = (await phoneQueue.all()).find((one) => one.number === number);
  const isFirst = (await phoneQueue.all()).every((one) => one.number >= number || !["waiting", "trying"].includes(one.state));
  try {
    if (!isFirst) throw new Error("others wait before it");
    const answer = await patiently(fetch(request), FORM_PATIENCE_MS);
    if (answer.status >= 500 || answer.status === 403 || answer.status === 401) throw new Error("not taken");
    await phoneQueue.drop(number);
    return answer;
  } catch {
    await phoneQueue.put({ ...item, state: "waiting" });
    if (self.registration.sync) await self.registration.sync.register("queue").catch(() => undefined);
    if (request.mode === "navigate") return Response.redirect(request.referrer || "/", 303);
    return new Response(null, { status: 204 });
  }
}
