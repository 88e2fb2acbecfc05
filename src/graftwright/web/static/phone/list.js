// This phone's own page: what waits, what was refused, and what the phone does when it saves.
(() => {
  const queue = self.phoneQueue;
  const { counted, el, kept, sendSoon } = self.phone;
  const STATES = { waiting: told("Waits for signal"), trying: told("On its way"), refused: told("Refused"), flagged: told("Kept, and flagged"), sent: told("Sent") };
  const locale = document.documentElement.lang;

  function deeds(item) {
    const button = (words, deed) => el("button", { type: "button", class: "deed is-quiet", onclick: deed }, words, el("span", { class: "unseen" }, `: ${item.words}`));
    if (item.state === "flagged") return [button(told("Understood"), () => item.kind === "entry" ? queue.put({ ...item, state: "sent" }) : queue.drop(item.number))];
    if (item.state !== "refused") return [];
    return [
      item.kind === "form" ? el("a", { class: "deed", href: `${item.page}#mend-${item.number}` }, told("Correct it")) : correctRun(item, button),
      button(told("Send it again"), async () => { await queue.put({ ...item, state: "waiting", faults: 0 }); sendSoon(); }),
      button(told("Put it aside for good"), () => { if (confirm(told("“{words}” is then no longer kept anywhere. Put it aside?", { words: item.words }))) queue.drop(item.number); }),
    ];
  }

  function correctRun(item, button) {
    if (item.line.kind !== "RunGrafted") return "";
    return button(told("Take it back to the bench"), async () => {
      const run = item.line.entry;
      await queue.keep("draft", { id: queue.newId(), count: run.tree_codes.length, spoilt: run.spoilt_count, others: run.tree_codes.join(" "),
        run: { ...run, number: run.run_number, left: 0 } });
      await queue.drop(item.number);
      location.assign("/bench/run");
    });
  }

  function row(item) {
    const at = new Date(item.made_at_ms).toLocaleString(locale, { weekday: "short", hour: "2-digit", minute: "2-digit" });
    const isCare = ["refused", "flagged"].includes(item.state);
    return el("li", {}, el("p", {}, el("strong", {}, item.words), el("span", { class: `under ${isCare ? "care" : ""}` }, told("{state}; written {at}.", { state: STATES[item.state], at }))),
      item.answer && el("p", {}, item.answer), el("p", { class: "deeds" }, ...deeds(item)));
  }

  document.addEventListener("queue-shown", (event) => {
    const items = event.detail.filter((one) => one.state !== "sent");
    document.getElementById("queue-list").replaceChildren(...items.map(row));
    document.getElementById("queue-none").hidden = items.length > 0;
  });

  // One thing seen at a tag whose page is not on this phone: the same form as on that page.
  document.getElementById("about-code").hidden = false;
  document.getElementById("about-form").addEventListener("submit", async (event) => {
    event.preventDefault();
    const [codeField, whatField, wordsField] = ["about-what-code", "about-what", "about-words"].map((id) => document.getElementById(id));
    const code = self.phone.readCode(codeField.value), said = wordsField.value.trim();
    const [deed, seen] = whatField.value.split(" ");
    const wrong = !code ? told("That is no code; look at the tag again.") : deed === "note" && !said ? told("Write what was seen.") : "";
    document.getElementById("about-wrong").textContent = wrong;
    if (wrong) return;
    const here = new Date(Date.now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 10);
    const fields = { happened_on: (await queue.kept("chosen_day")) || here, words: said };
    if (deed === "buds") fields.seen = seen;
    if (deed === "take") Object.assign(fields, { scion: seen, stock: "alive" });
    const add = (name, of) => queue.add({
      kind: "form", id: queue.newId(), url: `/trees/${code}/write/${name}`, page: `/trees/${code}/`,
      words: `${code}: ${of}`, fields: Object.entries(fields).map(([field, value]) => [`${name}-${field}`, value]),
    });
    self.phone.feel();
    await add(deed, whatField.selectedOptions[0].textContent);
    if (deed === "buds" && said) await add("note", told("note"));
    event.target.reset();
    codeField.focus();
    sendSoon();
  });

  const tick = document.getElementById("tick");
  tick.checked = kept.get("tick") === "on";
  tick.addEventListener("change", () => { kept.set("tick", tick.checked ? "on" : "off"); self.phone.feel(); });
  document.getElementById("send-now").addEventListener("click", sendSoon);
  document.getElementById("forget-pages").addEventListener("click", () => navigator.serviceWorker?.controller?.postMessage("forget"));

  (async () => {
    const [device, offset, codes] = await Promise.all([queue.device(), queue.kept("offset"), queue.kept("codes")]);
    const minutes = Math.round((offset || 0) / 60000);
    document.getElementById("phone-facts").replaceChildren(
      el("p", {}, told("In the record this phone is called “{device}”. {codes} kept here for labels made without signal.", { device, codes: counted((codes || []).length, "code is", "codes are") })),
      el("p", {}, minutes ? told(minutes < 0 ? "Its clock is {minutes} ahead; what is written down is put right." : "Its clock is {minutes} behind; what is written down is put right.", { minutes: counted(Math.abs(minutes), "minute", "minutes") }) : told("Its clock agrees with the program’s.")),
      el("p", {}, self.isSecureContext ? told("Pages opened here are kept for when there is no signal.") : told("This address is not secured (http): no pages are kept, and there is no live camera. All else works.")));
    self.phone.show();
  })();
})();
