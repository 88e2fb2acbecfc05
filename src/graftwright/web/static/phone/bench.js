// The bench, one run at a time: each act is on this phone's disk before anything is sent.
(() => {
  const queue = self.phoneQueue;
  const { counted, el, feel, readCode, sendSoon, show } = self.phone;
  const root = document.getElementById("bench-run");
  const BREAK_AFTER_MIN = 60;
  const CODES_KEPT = 60;
  let data, codes = [], items = [], draft, shift, isFresh = false, isAsking = false, shown = "";

  const lines = () => items.filter((one) => one.kind === "entry" && one.state !== "refused").map((one) => one.line);
  const day = () => data.is_day_chosen ? data.day : new Date(Date.now() - new Date().getTimezoneOffset() * 6e4).toISOString().slice(0, 10);

  // What is done today: the record as last seen, then what this phone wrote since.
  function acts() {
    const mine = lines();
    const gone = new Set(mine.filter((one) => one.kind === "EntryWithdrawn").map((one) => one.entry.target));
    const seen = new Set(data.acts.map((one) => one.entry_id));
    const since = mine.filter((one) => !seen.has(one.entry_id) && one.entry.happened_on === day() && ["RunGrafted", "LabelsCounted"].includes(one.kind))
      .map((one) => ({ ...one.entry, entry_id: one.entry_id, kind: one.kind, graft_count: one.entry.tree_codes?.length || 0, is_since: true }));
    return [...(data.day === day() ? data.acts : []), ...since].filter((one) => !gone.has(one.entry_id));
  }

  function counts() {
    const found = new Map();
    for (const act of acts()) {
      const before = found.get(act.bundle_code);
      if (act.kind === "RunGrafted") {
        found.delete(act.bundle_code);
        found.set(act.bundle_code, { grafts: (before?.grafts || 0) + act.graft_count, used: null });
      } else if (before) found.set(act.bundle_code, { ...before, used: act.used_count });
    }
    return found;
  }
  const openBundle = () => [...counts()].reverse().find(([, one]) => one.used === null);

  const isFor = (run, one) => run.bundle_code === one.bundle_code && run.lot_code === one.lot_code;
  function runsLeft() {
    const since = acts().filter((one) => one.is_since && one.kind === "RunGrafted").map((one) => ({ ...one, left: one.graft_count }));
    return data.runs.map((run) => {
      let left = run.graft_count;
      for (const one of since) {
        if (!isFor(run, one) || run.promise_code !== one.promise_code) continue;
        const taken = Math.min(left, one.left);
        left -= taken;
        one.left -= taken;
      }
      return { ...run, left };
    }).filter((run) => run.left > 0);
  }

  function codesFor(run) {
    const used = new Set([...data.acts.flatMap((one) => one.tree_codes), ...lines().flatMap((one) => one.entry.tree_codes || [])]);
    const ready = data.labels.filter((one) => isFor(run, one) && !used.has(one.code));
    ready.sort((a, b) => (a.promise_code !== run.promise_code) - (b.promise_code !== run.promise_code));
    return { printed: ready.map((one) => one.code), own: codes.filter((code) => !used.has(code)) };
  }

  async function begin(run, isOffered = false) {
    draft = { id: queue.newId(), run, count: 0, spoilt: 0, others: "", interstem: "", isOffered };
    await queue.keep("draft", draft);
  }
  async function changed(part) {
    draft = { ...draft, ...part, isOffered: false };
    await queue.keep("draft", draft);
    render();
  }

  async function write(kind, id, entry, words) {
    feel();
    await queue.add({ kind: "entry", words, page: location.pathname, line: {
      entry_id: id, written_at: new Date().toISOString(), written_by: "", device: "", nursery: "", kind,
      entry: { happened_on: day(), ...entry },
    } });
    await refresh();
    sendSoon();
  }

  async function writeRun(count) {
    const { run, id, spoilt, others, interstem } = draft;
    const { printed, own } = codesFor(run);
    const named = others.split(/[\s,;]+/).filter(Boolean).map((text) => readCode(text) || `${text}?`);
    const wrong = named.find((code) => code.endsWith("?"));
    const taken = named.length ? named : [...printed, ...own].slice(0, count);
    if (wrong) return say(told("{text} is no code; look at the label again.", { text: wrong.slice(0, -1) }));
    if (interstem && interstem === run.bundle_code) return say(told("The piece between is of another bundle than the variety; leave it empty."));
    if (taken.length !== count) return say(told("{grafts}, {codes}: write the codes of the labels used under “Change this run”.", { grafts: counted(count, "graft", "grafts"), codes: counted(taken.length, "code", "codes") }));
    shift.last = { binding: run.binding, grafter: run.grafter, place_code: run.place_code };
    await queue.keep("shift", shift);
    await write("RunGrafted", id, {
      tree_codes: taken, bundle_code: run.bundle_code, lot_code: run.lot_code, promise_code: run.promise_code,
      place_code: run.place_code, method: run.method, binding: run.binding, grafter: run.grafter,
      spoilt_count: spoilt, run_number: run.number, interstem_bundle_code: interstem || "",
    }, told("{grafts} of {bundle}", { grafts: counted(count, "graft", "grafts"), bundle: run.bundle_code }));
  }

  const countLabels = (code, used, left) => write("LabelsCounted", queue.newId(),
    { bundle_code: code, used_count: used, left_over_count: left }, told("labels of {code} counted", { code }));

  const undo = (act) => write("EntryWithdrawn", queue.newId(), { target: act.entry_id, reason: "undone at the bench" }, told("{act} undone", { act: actWords(act) }));
  const actWords = (act) => act.kind === "RunGrafted" ? told("{grafts} of {bundle}", { grafts: counted(act.graft_count, "graft", "grafts"), bundle: act.bundle_code }) : told("labels of {bundle}", { bundle: act.bundle_code });

  function say(words) {
    root.querySelector("[role=alert]").replaceChildren(words);
  }

  const button = (words, deed, kind = "") => el("button", { type: "button", class: `deed ${kind}`, onclick: deed }, words);
  const variety = (words) => el("span", { class: "tree" }, words);

  function field(label, name, value, choices) {
    const id = `bench-${name}`;
    const put = (event) => changed(name in draft ? { [name]: event.target.value } : { run: { ...draft.run, [name]: event.target.value } });
    const control = choices
      ? el("select", { id, onchange: put }, ...choices.map(([code, words]) => el("option", { value: code, selected: code === value }, words)))
      : el("input", { id, value, autocomplete: "off", onchange: put });
    return el("div", { class: "field" }, el("label", { for: id }, label), control);
  }

  const named = (list, first) => [["", first], ...list.map((one) => [one.code, `${one.code} ${one.name}${one.left_count ? told(", {count} left", { count: one.left_count }) : ""}`])];
  const words = (list) => list.map((one) => [one, told(one)]);

  function changes(run) {
    return el("details", { class: "more", "data-name": "change" }, el("summary", {}, told("Change this run")), el("div", {},
      field(told("Bundle"), "bundle_code", run.bundle_code, named(data.bundles, told("Choose a bundle"))),
      field(told("Stock lot"), "lot_code", run.lot_code, named(data.lots, told("Choose a lot"))),
      field(told("Promise"), "promise_code", run.promise_code, named(data.promises, told("No promise"))),
      field(told("Method"), "method", run.method, words(data.methods)),
      field(told("Binding"), "binding", run.binding, words(data.bindings)),
      field(told("They go to"), "place_code", run.place_code, [["", told("No place yet")], ...data.places.map((one) => [one.code, one.name])]),
      field(told("Interstem"), "interstem", draft.interstem, named(data.bundles, told("None"))),
      field(told("Who"), "grafter", run.grafter),
      field(told("Codes, if other labels were used"), "others", draft.others)));
  }

  const filled = (run) => ({ binding: data.binding, grafter: data.grafter, ...run, ...(run.place_code ? { ...shift.last, place_code: run.place_code } : shift.last) });

  function runPart() {
    const { run, count, spoilt, interstem } = draft;
    const { printed, own } = codesFor(run);
    const next = [...printed, ...own][count];
    const nameOf = (list, code) => list.find((one) => one.code === code)?.name || "";
    const names = [run.variety || nameOf(data.bundles, run.bundle_code), run.stock || nameOf(data.lots, run.lot_code)];
    const step = (by) => changed({ count: Math.max(0, Math.min(200, count + by)) });
    const stepButton = (by, label) => el("button", { type: "button", class: "deed is-quiet bench-step", "aria-label": label, onclick: () => step(by) }, by < 0 ? "−1" : `+${by}`);
    const whole = run.left || 0;
    return el("section", { class: "bench-now", "aria-labelledby": "bench-head" },
      el("h2", { id: "bench-head", class: "run-names" }, variety(names[0] || told("A run")), names[1] && told(" on {stock}", { stock: names[1] })),
      el("p", {}, told("Bundle "), el("span", { class: "code" }, run.bundle_code || "?"), told(", lot "), el("span", { class: "code" }, run.lot_code || "?"), `, ${told(run.method)}, ${told(run.binding)}${run.who ? told(", for {who}", { who: run.who }) : ""}.`),
      interstem && el("p", { class: "care" }, told("Three parts from the root up: {chain}.", { chain: [names[1], nameOf(data.bundles, interstem) || interstem, names[0]].map((one) => one || "?").join(" – ") })),
      el("div", { class: "bench-count" }, stepButton(-1, told("One graft fewer")),
        el("p", { class: "bench-number", role: "status" }, el("span", { class: "figure" }, String(count)), whole ? told(" of {whole}", { whole }) : told(" grafts")), stepButton(1, told("One graft more")), stepButton(5, told("Five grafts more"))),
      el("p", { class: "bench-label" }, next ? el("span", {}, printed[count] ? told("Next label ") : told("No label is printed; write on the next "), el("span", { class: "code big" }, next)) : told("No code is left on this phone; write the codes of the labels used.")),
      el("p", { class: "deeds" }, count === 0 && whole > 0
        ? button(told("All {whole} done: write them down", { whole }), () => writeRun(whole), "bench-write")
        : button(count ? told("Write down {grafts}", { grafts: counted(count, "graft", "grafts") }) : told("Write down"), () => count ? writeRun(count) : say(told("Count at least one graft first.")), "bench-write")),
      el("p", { class: "deeds" }, button(spoilt ? told("Spoilt: {spoilt}, one more", { spoilt }) : told("A cut was spoilt"), () => changed({ spoilt: spoilt + 1 }), "is-quiet"),
        spoilt > 0 && button(told("One fewer"), () => changed({ spoilt: spoilt - 1 }), "is-word")),
      changes(run));
  }

  function labelsPart([code, { grafts }]) {
    const left = data.labels.filter((one) => one.bundle_code === code && !acts().some((act) => act.tree_codes?.includes(one.code))).length;
    const [usedField, leftField] = [["used", grafts], ["left", left]].map(([name, value]) =>
      el("input", { id: `labels-${name}-${code}`, inputmode: "numeric", value, size: 4 }));
    const writeCount = () => {
      const [used, over] = [usedField.value, leftField.value].map((text) => /^\d{1,4}$/.test(text) ? Number(text) : null);
      return used === null || over === null ? say(told("Write whole numbers of labels.")) : countLabels(code, used, over);
    };
    return el("section", { class: "bench-now", "aria-labelledby": "bench-head" },
      el("h2", { id: "bench-head" }, told("Count the labels of bundle {code}", { code })),
      el("p", {}, told("{grafts} written down. Count before the next bundle is opened.", { grafts: counted(grafts, "graft is", "grafts are") })),
      el("p", { class: "deeds" }, button(told("{grafts} used, {left} left over: it agrees", { grafts, left }), () => countLabels(code, grafts, left), "bench-write")),
      el("details", { class: "more", "data-name": "labels" }, el("summary", {}, told("Another number")), el("div", {},
        el("div", { class: "side-by-side" }, el("div", { class: "field" }, el("label", { for: usedField.id }, told("Labels used")), usedField),
          el("div", { class: "field" }, el("label", { for: leftField.id }, told("Left over")), leftField)),
        el("p", { class: "deeds" }, button(told("Labels counted"), writeCount)))),
      el("p", { class: "deeds" }, button(told("Go on with this bundle"), () => { shift.stay = code; render(); }, "is-word"),
        button(told("Open the next one all the same"), () => { shift.anyway = code; render(); }, "is-word")));
  }

  function timePart() {
    const minutes = (since) => Math.max(0, Math.floor((Date.now() - since) / 6e4));
    if (shift.resting_since) {
      return el("p", { class: "bench-time" }, told("A break since {minutes} min. ", { minutes: minutes(shift.resting_since) }),
        button(told("Go on"), async () => { shift.break_at = Date.now(); delete shift.resting_since; await queue.keep("shift", shift); render(); }, "is-quiet"));
    }
    const since = minutes(shift.break_at);
    return el("p", { class: "bench-time" }, el("span", { class: since >= BREAK_AFTER_MIN ? "care" : "faded" },
      told("{minutes} min at the bench, {since} since a break. ", { minutes: minutes(shift.began_at), since }) + (since >= BREAK_AFTER_MIN ? told("Rest: tired hands slip. ") : "")),
      button(told("A break"), async () => { shift.resting_since = Date.now(); await queue.keep("shift", shift); render(); }, "is-quiet"));
  }

  function listPart(runs) {
    const done = acts();
    const last = done.at(-1);
    return el("section", { class: "bench-more" },
      last && el("p", { class: "deeds" }, button(told("Undo: {act}", { act: actWords(last) }), () => undo(last), "is-quiet")),
      el("details", { class: "more", "data-name": "runs" }, el("summary", {}, told("{runs} to do, {done} done today", { runs: counted(runs.length, "run", "runs"), done: done.filter((one) => one.kind === "RunGrafted").length })),
        el("ul", { class: "rows run-rows" }, ...runs.map((run) => el("li", {}, el("button", { type: "button", class: "run-row bench-row", onclick: () => choose(run) },
          el("span", { class: "run-words" }, el("span", {}, variety(run.variety), told(" on {stock}", { stock: run.stock })), el("span", { class: "under" }, told("Bundle {bundle}, lot {lot}", { bundle: run.bundle_code, lot: run.lot_code }) + (run.who ? told(", for {who}", { who: run.who }) : ""))), el("span", { class: "big" }, String(run.left)))))),
        el("p", { class: "deeds" }, button(told("A run that is not planned"), () => choose({ bundle_code: "", lot_code: "", promise_code: "", place_code: "", method: data.methods[0], number: 0 }), "is-quiet"))));
  }

  async function choose(run) {
    await begin(filled(run));
    render();
    root.scrollIntoView();
  }

  // Laid out anew when something changed, so that no press and no half-written word is lost.
  function render() {
    const state = JSON.stringify([data, items.map((one) => [one.number, one.state]), draft, shift, codes, Math.floor(Date.now() / 6e4)]);
    if (!data || state === shown) return;
    shown = state;
    const typed = [...root.querySelectorAll("input")].filter((one) => one.value !== one.defaultValue).map((one) => [one.id, one.value]);
    const opened = [...root.querySelectorAll("details[open]")].map((one) => one.dataset.name);
    const focus = document.activeElement?.closest("#bench-run") ? document.activeElement.textContent + (document.activeElement.id || document.activeElement.ariaLabel) : "";
    const runs = runsLeft(), lying = openBundle();
    const isOther = lying && draft?.run.bundle_code !== lying[0];
    const mustCount = lying && shift.anyway !== lying[0] && shift.stay !== lying[0] && (isOther || !draft) && !draft?.count;
    const now = mustCount ? labelsPart(lying) : draft ? runPart()
      : el("p", { class: "remark is-alive" }, told("No planned run is left. "), el("a", { href: "/bench/" }, told("Close the day at the bench")), told(", or open a run that is not planned."));
    root.replaceChildren(timePart(), el("p", { class: "wrong", role: "alert" }), now, listPart(runs));
    for (const one of root.querySelectorAll("details")) one.open = opened.includes(one.dataset.name);
    for (const [id, value] of typed) { const one = document.getElementById(id); if (one) one.value = value; }
    if (focus) [...root.querySelectorAll("button,input,select,summary")].find((one) => one.textContent + (one.id || one.ariaLabel) === focus)?.focus();
  }

  // Reads all from the disk again: this phone may have been off, or another page may have written.
  async function refresh() {
    [data, items, draft, shift] = await Promise.all([queue.kept("bench"), queue.all(), queue.kept("draft"), queue.kept("shift")]);
    codes = (await queue.kept("codes")) || [];
    if (!data) return;
    if (!shift || shift.day !== day()) {
      shift = { day: day(), began_at: Date.now(), break_at: Date.now(), last: {} };
      await queue.keep("shift", shift);
    }
    const lying = openBundle();
    if (draft?.isOffered || items.some((one) => one.line?.entry_id === draft?.id && one.state !== "refused")) draft = undefined;
    if (!draft) {
      const runs = runsLeft();
      const next = (lying && runs.find((run) => run.bundle_code === lying[0])) || runs[0];
      if (next) await begin(filled(next), true);
      else await queue.keep("draft", undefined);
    }
    render();
  }

  // What the record says now; what it holds need no longer be kept beside it.
  async function learn() {
    if (isAsking) return;
    isAsking = true;
    try {
      const before = await queue.all();
      const { status, body } = await queue.ask("/sync/page-data");
      if (status !== 200 || !body) return;
      await queue.keep("bench", body.bench);
      for (const one of before) if (one.kind === "entry" && one.state === "sent") await queue.drop(one.number);
      isFresh = true;
      await refillCodes();
    } catch { /* no signal: what is kept does */ } finally { isAsking = false; }
    await refresh();
  }

  async function refillCodes() {
    const contact = await queue.hello();
    const body = new URLSearchParams({ device: await queue.device(), count: String(CODES_KEPT) });
    const said = contact && await queue.ask("/sync/codes", { method: "POST", body, headers: { "X-CSRFToken": contact.token } });
    if (said?.body?.codes) await queue.keep("codes", said.body.codes);
  }

  document.addEventListener("queue-shown", async (event) => {
    const sent = event.detail.filter((one) => one.kind === "entry" && one.state === "sent").length;
    if (sent && !event.detail.some((one) => ["waiting", "trying"].includes(one.state))) learn();
    else if (event.detail.length !== items.length) refresh();
  });
  document.addEventListener("code-scanned", (event) => {
    const run = runsLeft().find((one) => one.bundle_code === event.detail);
    if (run) choose(run);
    else if (data.lots.some((one) => one.code === event.detail)) changed({ run: { ...draft.run, lot_code: event.detail, stock: "" } });
    else if (data.bundles.some((one) => one.code === event.detail)) changed({ run: { ...draft.run, bundle_code: event.detail, variety: "" } });
    else say(told("{code} is no bundle and no lot known here.", { code: event.detail }));
  });

  navigator.wakeLock?.request("screen").catch(() => undefined);
  navigator.storage?.persist?.();
  setInterval(() => { if (data && !root.contains(document.activeElement)) render(); }, 30000);
  refresh().then(learn).then(() => {
    if (!data) root.replaceChildren(el("p", { class: "remark is-care" }, told("The bench’s runs are not on this phone yet. Open this page once with signal.")));
    root.dataset.ready = isFresh ? "fresh" : "kept";
    show();
  });
})();
