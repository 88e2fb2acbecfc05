// A code read with the camera: by the browser itself where it can, else by the decoder shipped.
self.scanner = (() => {
  const { el, feel, readCode } = self.phone;
  const EVERY_MS = 150;
  let stream, timer;

  async function reader(button) {
    if ("BarcodeDetector" in self && (await BarcodeDetector.getSupportedFormats()).includes("qr_code")) {
      const detector = new BarcodeDetector({ formats: ["qr_code"] });
      return async (video) => (await detector.detect(video)).map((one) => one.rawValue);
    }
    if (!self.jsQR) {
      await new Promise((yes, no) => document.head.append(el("script", { src: button.dataset.decoder, onload: yes, onerror: no })));
    }
    const canvas = el("canvas"), pen = canvas.getContext("2d", { willReadFrequently: true });
    return async (video) => {
      [canvas.width, canvas.height] = [video.videoWidth, video.videoHeight];
      pen.drawImage(video, 0, 0);
      const found = self.jsQR(pen.getImageData(0, 0, canvas.width, canvas.height).data, canvas.width, canvas.height);
      return found ? [found.data] : [];
    };
  }

  function close(box) {
    clearInterval(timer);
    stream?.getTracks().forEach((track) => track.stop());
    box.close();
    box.remove();
  }

  // Tags bear the plain code; an address that ends in one is read as well.
  const codeIn = (text) => readCode(text.trim().split("/").filter(Boolean).at(-1) || "");

  function use(code, button) {
    feel();
    const field = document.querySelector(button.dataset.scan || "#none");
    document.dispatchEvent(new CustomEvent("code-scanned", { detail: code }));
    if (!field) return;
    const isList = field.tagName === "TEXTAREA" || "many" in button.dataset;
    field.value = isList && field.value.trim() ? `${field.value.trim()} ${code}` : code;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    if ("send" in button.dataset) field.form.requestSubmit();
    else field.focus();
  }

  async function open(button) {
    const words = el("p", { role: "status" }, told("Hold the tag’s square before the camera."));
    const video = el("video", { playsinline: true, muted: true, "aria-label": told("What the camera sees") });
    const torch = el("button", { type: "button", class: "deed is-quiet", hidden: true }, told("Light"));
    const box = el("dialog", { class: "scan-box", "aria-label": told("Scan a code") }, words, video,
      el("p", { class: "deeds" }, el("button", { type: "button", class: "deed", onclick: () => close(box) }, told("Close, and type it")), torch));
    box.addEventListener("cancel", () => close(box));
    document.body.append(box);
    box.showModal();
    if (!navigator.mediaDevices) {
      words.textContent = told("The phone gives a camera to secured addresses alone (https). Type the code: that always works.");
      video.remove();
      return;
    }
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: { ideal: 1280 } } });
      video.srcObject = stream;
      await video.play();
      const read = await reader(button);
      const [track] = stream.getVideoTracks();
      if (track.getCapabilities?.().torch) {
        torch.hidden = false;
        torch.addEventListener("click", () => track.applyConstraints({ advanced: [{ torch: !track.getSettings().torch }] }));
      }
      timer = setInterval(async () => {
        for (const text of await read(video).catch(() => [])) {
          const code = codeIn(text);
          if (!box.isConnected) return;
          if (code) { close(box); use(code, button); return; }
          words.textContent = told("That square holds no code of a tag; try another.");
        }
      }, EVERY_MS);
    } catch {
      words.textContent = told("The camera cannot be used just now; allow it in the browser, or type the code.");
      video.remove();
    }
  }

  return { open };
})();
