// What was written down on this phone and is not yet sent. Pages and worker share this file.

// A message in the language of the page, its named fields filled in. The words of another language
// stand in a file of their own, which a page in that language and the worker load.
self.told = (message, fields = {}, language = self.document?.documentElement.lang) =>
  (self.phoneWords?.[language]?.[message] ?? message).replace(/\{(\w+)\}/g, (_, name) => fields[name]);

self.phoneQueue = (() => {
  const PATIENCE_MS = 15000;
  const TRYING_MS = 30000;
  const MOST_FAULTS = 5;
  const channel = new BroadcastChannel("queue");
  let opened, isSending = false;

  function database() {
    opened ??= new Promise((yes, no) => {
      const asked = indexedDB.open("graftwright", 1);
      asked.onupgradeneeded = () => {
        asked.result.createObjectStore("queue", { keyPath: "number", autoIncrement: true });
        asked.result.createObjectStore("kept");
      };
      asked.onsuccess = () => yes(asked.result);
      asked.onerror = () => no(asked.error);
    });
    return opened;
  }

  async function on(name, mode, deed) {
    // strict: the phone says done only when it is on the disk, so that a flat battery loses nothing
    const open = (await database()).transaction(name, mode, { durability: "strict" });
    const asked = deed(open.objectStore(name));
    return new Promise((yes, no) => {
      open.oncomplete = () => yes(asked.result);
      open.onerror = open.onabort = () => no(open.error);
    });
  }

  const all = () => on("queue", "readonly", (store) => store.getAll());
  const kept = (name) => on("kept", "readonly", (store) => store.get(name));
  const keep = (name, value) => on("kept", "readwrite", (store) => store.put(value, name));

  async function change(deed) {
    const number = await on("queue", "readwrite", deed);
    channel.postMessage("changed");
    if (self.dispatchEvent && self.document) self.dispatchEvent(new Event("queue-changed"));
    return number;
  }
  const put = (item) => change((store) => store.put(item));
  const drop = (number) => change((store) => store.delete(number));

  function newId() {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16)); // without a secure connection
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  }

  async function device() {
    const known = await kept("device");
    if (known) return known;
    const made = "phone " + newId().slice(0, 6);
    await keep("device", made);
    return made;
  }

  async function add(item) {
    return put({
      state: "waiting", faults: 0, page: "/", ...item,
      made_at_ms: Date.now(),
      zone_minutes: new Date().getTimezoneOffset(),
      known_offset_ms: (await kept("offset")) ?? null,
      by: (await kept("by")) || "",
    });
  }

  async function ask(address, asking = {}) {
    const answer = await fetch(address, {
      cache: "no-store", credentials: "same-origin", redirect: "manual",
      signal: AbortSignal.timeout(PATIENCE_MS), ...asking,
    });
    const isJson = (answer.headers.get("content-type") || "").startsWith("application/json");
    return { status: answer.status, body: isJson ? await answer.json() : null };
  }

  // What was kept to be read goes, what waits to be sent stays: nobody else is to find the pages.
  async function forget() {
    if (self.caches) await caches.delete("pages").catch(() => undefined);
    await keep("bench", undefined);
  }
  const isMine = (item, by) => !item.by || !by || item.by === by;
  const isToSend = (item) => item.state === "waiting" || item.state === "trying";

  async function signedOut(isOut) {
    if (isOut === Boolean(await kept("is_out"))) return;
    await keep("is_out", isOut);
    if (isOut) await forget();
    channel.postMessage("changed");
    if (self.dispatchEvent && self.document) self.dispatchEvent(new Event("queue-changed"));
  }

  // Each contact says how far this phone's clock is out, and who is signed in.
  async function hello() {
    const before = Date.now();
    const { status, body } = await ask("/sync/hello");
    if (status === 401) await signedOut(true);
    if (status !== 200 || !body) return null;
    await keep("by", body.by || "");
    await signedOut(false);
    await keep("contact_at", Date.now());
    await keep("chosen_day", body.chosen_day);
    await keep("offset", Math.round(body.server_now_ms - (before + Date.now()) / 2));
    return body;
  }

  async function sendForm(item, token) {
    const isPlain = item.fields.every(([, value]) => typeof value === "string");
    const body = isPlain ? new URLSearchParams(item.fields) : new FormData();
    if (!isPlain) {
      for (const [name, value] of item.fields) {
        if (typeof value === "string") body.append(name, value);
        else body.append(name, value, value.name || "photo.jpg");
      }
    }
    return ask(item.url, { method: "POST", body, headers: {
      "X-CSRFToken": token, "X-Sending-Id": item.id, "X-Device": await device(),
      "X-Made-At": String(item.made_at_ms), "X-Phone-Now": String(Date.now()),
      "X-Known-Offset": String(item.known_offset_ms ?? ""), "X-Zone-Minutes": String(item.zone_minutes),
    } });
  }

  async function sendEntry(item, token) {
    const body = JSON.stringify({
      device: await device(), phone_now_ms: Date.now(), zone_minutes: item.zone_minutes,
      known_offset_ms: item.known_offset_ms, entries: [item.line],
    });
    const headers = { "X-CSRFToken": token, "Content-Type": "application/json" };
    const said = await ask("/sync/entries", { method: "POST", body, headers });
    return { status: said.status, body: said.body && (said.body.answers || [said.body])[0] };
  }

  async function settle(item, { status, body }) {
    if (body && body.answer) {
      item.answer = body.words || "";
      if (body.answer === "refused") item.state = "refused";
      else if (body.answer === "kept and flagged") item.state = "flagged";
      else if (item.kind === "form") { await drop(item.number); return true; }
      else item.state = "sent";
      await put(item);
      return true;
    }
    if (status === 401) {
      await signedOut(true);
      return false; // it waits until somebody signs in
    }
    item.faults += 1;
    if (item.faults >= MOST_FAULTS) {
      item.state = "refused";
      item.answer = told("The program could not take it ({status}). It is kept here; send it again later.", { status });
    }
    await put(item);
    return item.state === "refused";
  }

  async function sendAll() {
    let contact = null;
    for (;;) {
      const by = contact && contact.by;
      const item = (await all()).find((one) => isToSend(one) && isMine(one, by));
      if (!item || (item.state === "trying" && Date.now() - item.tried_at_ms < TRYING_MS)) return !item;
      contact ??= await hello();
      if (!contact) return false;
      if (!isMine(item, contact.by)) continue; // another person's: it waits for them
      const send = item.kind === "form" ? sendForm : sendEntry;
      if (!(await settle(item, await send(item, contact.token)))) return false;
    }
  }

  // One page or the worker sends at a time, in the order of writing; true when nothing waits.
  async function send() {
    try {
      if (navigator.locks) {
        return await navigator.locks.request("sending", { ifAvailable: true }, (lock) => lock ? sendAll() : false);
      }
      if (isSending) return false;
      isSending = true;
      return await sendAll().finally(() => { isSending = false; });
    } catch {
      return false; // no signal: it waits
    }
  }

  return { add, all, ask, channel, device, drop, forget, hello, isMine, keep, kept, newId, put, send };
})();
