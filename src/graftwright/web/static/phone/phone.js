// On every page: the line that says what is not yet sent, and the sending itself.
self.phone = (() => {
  const queue = self.phoneQueue;
  const ALPHABET = "23456789CEFHJKLMNPRTWXY";
  const READ_AS = { Z: "2", S: "5", B: "8", G: "6", A: "4" };
  const EVERY_MS = 5000;
  const CONTACT_MS = 10 * 60 * 1000;
  const kept = { get: (name) => { try { return localStorage.getItem(name); } catch { return null; } },
    set: (name, value) => { try { localStorage.setItem(name, value); } catch { /* private window */ } } };

  function el(tag, marks = {}, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(marks)) {
      if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
      else if (value !== false && value != null) made.setAttribute(name, value === true ? "" : value);
    }
    made.append(...inside.filter((one) => one != null && one !== false && one !== ""));
    return made;
  }

  const counted = (count, one, many) => told(`{count} ${count === 1 ? one : many}`, { count });

  // The code in its written form, "" if the check character does not agree (modulus 23, radix 5).
  function readCode(text) {
    const code = text.trim().toUpperCase().replace(/[\s-]/g, "").replace(/[ZSBGA]/g, (sign) => READ_AS[sign]);
    if (code.length !== 5 || [...code].some((sign) => !ALPHABET.includes(sign))) return "";
    const sum = [...code].reduce((total, sign) => (total * 5 + ALPHABET.indexOf(sign)) % 23, 0);
    return sum === 1 ? code : "";
  }

  function feel() {
    if (navigator.vibrate) navigator.vibrate(40);
    if (kept.get("tick") !== "on" || !self.AudioContext) return;
    const sound = new AudioContext(), tone = sound.createOscillator(), loud = sound.createGain();
    loud.gain.setValueAtTime(0.2, sound.currentTime);
    loud.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + 0.08);
    tone.frequency.value = 880;
    tone.connect(loud).connect(sound.destination);
    tone.start();
    tone.stop(sound.currentTime + 0.09);
    tone.onended = () => sound.close();
  }

  // Who is signed in, as the page itself says; a page without signal says what was true before.
  const byOnPage = () => document.querySelector("meta[name=signed-in]")?.content || "";

  function lineWords(items, by) {
    const unsent = items.filter((one) => ["waiting", "trying"].includes(one.state));
    const others = unsent.filter((one) => !queue.isMine(one, by));
    const waiting = unsent.filter((one) => queue.isMine(one, by));
    const count = (state) => items.filter((one) => one.state === state).length;
    const said = [];
    if (waiting.length) said.push(told("{count} not yet sent: {words}.", { count: waiting.length, words: waiting.slice(-3).map((one) => one.words).join("; ") }));
    if (count("refused")) said.push(counted(count("refused"), "was refused.", "were refused."));
    if (count("flagged")) said.push(counted(count("flagged"), "was kept and flagged.", "were kept and flagged."));
    for (const who of new Set(others.map((one) => one.by))) {
      said.push(told("{count} of {who}, sent when {who} signs in here.", { count: others.filter((one) => one.by === who).length, who }));
    }
    return { said, isCare: count("refused") + count("flagged") > 0, waiting };
  }

  const lineLinks = (isCare, signIn) => signIn
    ? [el("a", { href: signIn }, told("Sign in"))]
    : location.pathname.startsWith("/sign-in/") ? [] : [el("a", { href: "/sync/" }, isCare ? told("See why") : told("Kept on this phone"))];

  async function show() {
    const items = await queue.all();
    const { said, isCare, waiting } = lineWords(items, await queue.kept("by"));
    const isOut = await queue.kept("is_out");
    const here = encodeURIComponent(location.pathname + location.search);
    if (isOut && waiting.length) said.push(told("Sign in, then it is sent."));
    const line = document.getElementById("queue-line");
    if (line) {
      line.hidden = !said.length;
      line.classList.toggle("is-care", isCare);
      line.replaceChildren(el("span", {}, said.join(" ")), " ", ...lineLinks(isCare, isOut && !location.pathname.startsWith("/sign-in/") && `/sign-in/?then=${here}`));
    }
    markForms(waiting);
    document.dispatchEvent(new CustomEvent("queue-shown", { detail: items }));
  }

  const isSame = (form, item) => {
    const hidden = [...form.querySelectorAll("input[type=hidden]")].filter((one) => !/^(csrfmiddlewaretoken|sending_\w+)$/.test(one.name));
    return new URL(form.action).pathname === item.url &&
      hidden.every((one) => item.fields.some(([name, value]) => name === one.name && value === one.value));
  };

  function markForms(waiting) {
    for (const form of document.querySelectorAll("form[data-queue]")) {
      const found = waiting.some((item) => item.kind === "form" && isSame(form, item));
      let mark = form.querySelector(".waits-mark");
      if (found && !mark) (form.querySelector(".deeds") || form.lastElementChild).after(el("p", { class: "waits-mark small care" }, told("Kept on this phone, not yet sent.")));
      if (!found && mark) mark.remove();
      if (form.dataset.queue === "once") for (const button of form.querySelectorAll("button")) button.disabled = found;
    }
  }

  // Each sending gets its id here, so that pressing twice or sending again counts once.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-queue]")) return;
    const words = (form.dataset.words || event.submitter?.textContent || told("A form")).replace(/\s+/g, " ").trim();
    const about = form.dataset.queue && form.dataset.queue !== "once" ? `${form.dataset.queue}: ` : "";
    for (const [name, value] of [["sending_id", queue.newId()], ["sending_words", (about + words).slice(0, 120)]]) {
      form.querySelector(`input[name=${name}]`)?.remove();
      form.append(el("input", { type: "hidden", name, value }));
    }
    feel();
  }, true);

  // Signing out leaves nothing to read on this phone; what is not yet sent stays.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-forget]") || form.dataset.forget === "done") return;
    event.preventDefault();
    navigator.serviceWorker?.controller?.postMessage("forget");
    queue.forget().catch(() => undefined).finally(() => { form.dataset.forget = "done"; form.requestSubmit(); });
  });

  async function sendSoon() {
    const items = await queue.all();
    if (items.some((one) => ["waiting", "trying"].includes(one.state))) {
      await queue.send();
      await show();
    }
  }

  function saySecureOnce() {
    if (self.isSecureContext || kept.get("insecure-said")) return;
    kept.set("insecure-said", "yes");
    const words = told("This address is not secured (http), so the phone gives no live camera and keeps no pages for when there is no signal. Everything else works: type the codes, choose photos. With https, or on the machine itself, all of it works. This is said once.");
    document.getElementById("queue-line")?.after(el("p", { class: "remark is-care", role: "status" }, words));
  }

  // A refused form comes back with what was written in it.
  async function mend() {
    const number = Number(/^#mend-(\d+)$/.exec(location.hash)?.[1]);
    const item = number && (await queue.all()).find((one) => one.number === number);
    const form = item && [...document.querySelectorAll("form[data-queue]")].find((one) => new URL(one.action).pathname === item.url && isSame(one, item));
    if (!form) return;
    for (const opener of [form.closest("details"), ...form.querySelectorAll("details")]) if (opener) opener.open = true;
    for (const [name, value] of item.fields) {
      const field = form.elements[name];
      if (field && field.type !== "hidden" && typeof value === "string") {
        if (field.type === "checkbox") field.checked = true; else field.value = value;
      }
    }
    form.prepend(el("p", { class: "remark is-care", role: "alert" }, item.answer));
    form.scrollIntoView();
    form.addEventListener("submit", () => queue.drop(number));
  }

  // Photos go out at 1600 dots, without the place the phone writes into them.
  async function shrink(field) {
    const file = field.files[0];
    if (!file || !self.createImageBitmap || !self.DataTransfer) return;
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const scale = Math.min(1, 1600 / Math.max(picture.width, picture.height));
      const canvas = el("canvas", { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      const blob = await new Promise((yes) => canvas.toBlob(yes, "image/jpeg", 0.85));
      const carried = new DataTransfer();
      carried.items.add(new File([blob], "photo.jpg", { type: "image/jpeg" }));
      field.files = carried.files;
    } catch { /* the program checks what it is */ }
  }
  document.addEventListener("change", (event) => {
    if (event.target.matches("input[type=file][data-shrink]")) shrink(event.target);
  });

  // Codes read along a bench without signal are kept until the page can look at them.
  async function collect() {
    const form = document.querySelector("form[data-collect]");
    if (!form) return;
    const name = `read at ${form.dataset.collect}`, isAway = document.querySelector(".no-signal");
    const box = form.parentNode.insertBefore(el("p", { class: "remark", role: "status", hidden: true }), form.nextSibling);
    const say = (codes, wrong) => {
      box.hidden = !codes.length && !wrong.length;
      box.replaceChildren(told("{codes} read without signal: {listed}. ", { codes: counted(codes.length, "code", "codes"), listed: codes.join(", ") || told("none") }),
        wrong.length ? told("No code: {listed}; look at the tag again. ", { listed: wrong.join(", ") }) : "");
      if (codes.length && !isAway) {
        const before = form.elements.codes.value.split(/\s+/).filter(Boolean);
        box.append(el("a", { href: `${form.action}?codes=${[...before, ...codes].join("+")}`, onclick: () => queue.keep(name, []) }, told("Look at them")));
      }
    };
    const take = async (text) => {
      const read = text.split(/[\s,;]+/).filter(Boolean);
      const codes = [...new Set([...((await queue.kept(name)) || []), ...read.map(readCode).filter(Boolean)])];
      await queue.keep(name, codes);
      say(codes, read.filter((one) => !readCode(one)));
    };
    form.addEventListener("submit", (event) => {
      if (!isAway) return;
      event.preventDefault();
      feel();
      take(form.elements.code.value).then(() => { form.elements.code.value = ""; form.elements.code.focus(); });
    });
    await take((isAway && new URLSearchParams(location.search).get("code")) || "");
  }

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-scan]");
    if (!button) return;
    event.preventDefault();
    if (self.scanner) return void self.scanner.open(button);
    const script = el("script", { src: button.dataset.scanner });
    script.onload = () => self.scanner.open(button);
    document.head.append(script);
  });

  async function start() {
    for (const button of document.querySelectorAll("[data-scan]")) button.hidden = false;
    saySecureOnce();
    if ("serviceWorker" in navigator) {
      await navigator.serviceWorker.register("/worker.js", { scope: "/" }).catch(() => undefined);
      navigator.serviceWorker.ready.then((one) => one.active?.postMessage("freshen"));
    }
    if (byOnPage() && !document.querySelector(".no-signal")) {
      await queue.keep("by", byOnPage());
      await queue.keep("is_out", false);
    }
    await show();
    await mend();
    await collect();
    await sendSoon();
    const since = Math.abs(Date.now() - ((await queue.kept("contact_at")) || 0));
    if (since > CONTACT_MS) await queue.hello().catch(() => undefined);
  }

  queue.channel.addEventListener("message", show);
  self.addEventListener("queue-changed", show);
  self.addEventListener("online", sendSoon);
  self.addEventListener("pageshow", (event) => { if (event.persisted) sendSoon(); });
  // once signed out, asking again and again changes nothing: the next page opened does
  setInterval(async () => { if (!(await queue.kept("is_out"))) await sendSoon(); }, EVERY_MS);
  start();
  return { counted, el, feel, kept, readCode, sendSoon, show };
})();
