// The forms that work without a signal, of a sample first: words to tap, the corrected strength while typing, a
// photo made small, and saving that works without a signal.
"use strict";

{
  const form = document.querySelector("form[data-log]");
  const refusal = document.getElementById("said-no");
  const round = form && form.elements.round ? form.elements.round.value : "";
  let photo = null; // made small

  // An ID of its own for each sample: a page from this device's store may be opened twice.
  function freshID() { form.elements.id.value = outbox.ulid(); }

  for (const group of document.querySelectorAll(".chips")) {
    const field = document.getElementById(group.dataset.adds);
    const words = () => field.value.split(",").map((w) => w.trim()).filter(Boolean);
    const show = () => { for (const chip of group.children) chip.setAttribute("aria-pressed", words().includes(chip.textContent)); };
    group.hidden = group.children.length === 0;
    field.addEventListener("input", show);
    group.addEventListener("click", (event) => {
      const chip = event.target.closest(".chip");
      if (!chip) return;
      const said = words(), word = chip.textContent;
      field.value = (said.includes(word) ? said.filter((w) => w !== word) : said.concat(word)).join(", ");
      show();
    });
    show();
  }

  function readWith() {
    const shown = document.getElementById("tools-now");
    if (!shown) return;
    const chosen = (name) => {
      const field = form.elements[name];
      return field && field.value ? field.selectedOptions[0].textContent : "";
    };
    const glass = form.elements.scale.value === "corrected" ? "" : chosen("glass_c");
    shown.textContent = [chosen("scale"), glass && "glass for " + glass, chosen("instrument"), chosen("thermometer")].filter(Boolean).join(", ");
  }

  function refuse(text) {
    refusal.textContent = "";
    const strong = document.createElement("strong");
    strong.textContent = "Not saved. ";
    refusal.append(strong, text);
    refusal.hidden = false;
    refusal.focus();
  }

  function ask(questions) {
    const box = document.createElement("div");
    box.className = "questions";
    box.setAttribute("role", "alert");
    const list = document.createElement("ul");
    for (const q of questions) list.append(Object.assign(document.createElement("li"), { textContent: q.text }));
    const tick = Object.assign(document.createElement("label"), { className: "tick" });
    tick.append(Object.assign(document.createElement("input"), { type: "checkbox", name: "sure", value: "1" }), " It is right, save it as it is");
    const head = document.createElement("p");
    head.append(Object.assign(document.createElement("strong"), { textContent: "Please look again." }), " Nothing is saved yet.");
    box.append(head, list, tick);
    document.getElementById("doubts").replaceChildren(box);
    box.scrollIntoView({ block: "center" });
  }

  // nextStop is the address of the next vessel by the sheet on this device.
  async function nextStop(after) {
    const sheet = await outbox.sheet(round);
    if (!sheet) return "/outbox";
    const waiting = new Set((await outbox.looks()).map((i) => i.body.vessel));
    const from = sheet.stops.findIndex((s) => s.vessel === after) + 1;
    for (let i = 0; i < sheet.stops.length; i++) {
      const stop = sheet.stops[(from + i) % sheet.stops.length];
      if (stop.status === "open" && !waiting.has(stop.vessel)) return "/v/" + encodeURIComponent(stop.vessel) + "/log/sample?round=" + round;
    }
    return "/rounds/" + round;
  }

  // settle saves an entry, or keeps it on this device while there is no signal.
  async function settle(body, picture, notice) {
    const item = { id: notice.id, body, made: entries.stamp(new Date()), who: carry.who(), round };
    if (picture) item.photo = picture;
    if (!navigator.onLine && !item.body.when) item.body.when = item.made;
    await outbox.put(item);
    await outbox.send();
    const left = await outbox.get(item.id);
    const query = new URLSearchParams({ undo: item.id, done: notice.done });
    if (!left) {
      location.assign(round ? "/rounds/" + round + "/next?after=" + encodeURIComponent(body.vessel) + "&" + query : "/v/" + encodeURIComponent(body.vessel) + "?" + query);
      return;
    }
    if (left.problem) {
      await outbox.remove(item.id);
      if (left.problem.questions.length) ask(left.problem.questions);
      else refuse(left.problem.text);
      return;
    }
    if (!left.body.when) await outbox.put({ ...left, body: { ...left.body, when: left.made } });
    await carry.askLater();
    const to = round ? await nextStop(body.vessel) : "/outbox";
    sessionStorage.setItem("croze:kept", item.id);
    location.assign(to);
  }

  // tellKept says on the page that follows that an entry waits, and takes it back on a tap.
  async function tellKept() {
    const id = sessionStorage.getItem("croze:kept");
    if (!id) return;
    sessionStorage.removeItem("croze:kept");
    const item = await outbox.get(id);
    if (!item) return;
    const said = Object.assign(document.createElement("div"), { className: "done" });
    said.setAttribute("role", "status");
    const undo = Object.assign(document.createElement("button"), { className: "second", type: "button", textContent: "Undo" });
    undo.addEventListener("click", async () => {
      await outbox.remove(id);
      said.textContent = "Undone. It was not sent.";
      await carry.tell();
    });
    said.append("Kept on this device until there is a signal: " + entries.told(item.body) + ". ", undo);
    document.querySelector("main").prepend(said);
  }
  tellKept();

  async function shrunk(file) {
    const longest = 1600;
    const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
    const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(bitmap.width * scale), height: Math.round(bitmap.height * scale) });
    canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.8));
  }

  async function choosePhoto(event) {
    const shown = document.getElementById("photo-shown"), file = event.target.files[0];
    photo = file ? await shrunk(file).catch(() => null) : null;
    shown.hidden = !photo;
    if (photo) shown.src = URL.createObjectURL(photo);
  }

  // withoutSignal says what can be said of a strength without the store.
  function withoutSignal(entry) {
    const expected = Number(form.dataset.strength), spread = Number(form.dataset.strengthSd);
    if (entry.strength_pct === undefined || !expected) return "No signal: the correction is worked out when it is sent.";
    const off = entry.strength_pct - expected;
    return "No signal. " + Math.abs(off).toFixed(1) + " % vol " + (off < 0 ? "below" : "above") + " what is expected" + (Math.abs(off) > Math.max(1, 4 * spread) ? ": is it right?" : ".");
  }

  function told(answer) {
    const fact = answer.fact || {}, said = [];
    if (fact.reading) said.push(fact.reading.strength_pct.toFixed(1) + " % vol at 20 °C");
    if (fact.measure && fact.measure.reading) said.push(fact.measure.reading.strength_pct.toFixed(1) + " % vol at 20 °C");
    if (fact.content) said.push(fact.content.volume_l.toFixed(2) + " L at 20 °C");
    return said.concat((answer.questions || []).map((q) => q.text)).join(". ");
  }

  let latest = 0;
  async function preview() {
    const output = form.querySelector(".preview"), mine = ++latest;
    if (!output) return;
    const say = (text, doubtful) => { if (mine === latest) { output.textContent = text; output.classList.toggle("doubtful", doubtful); } };
    let entry;
    try { entry = entries.of(form); } catch (problem) { say(problem.message, true); return; }
    if (entry.reading_pct === undefined && entry.strength_pct === undefined && entry.gross_kg === undefined && entry.volume_l === undefined) { say("", false); return; }
    if (entry.reading_pct !== undefined && entry.temp_c === undefined) { say("and its temperature", false); return; }
    try {
      const response = await fetch("/api/preview", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(entry) });
      const answer = await response.json();
      say(answer.said || answer.error || told(answer), Boolean(answer.error || (answer.questions || []).length));
    } catch { say(withoutSignal(entry), false); }
  }

  async function submit(event) {
    event.preventDefault();
    refusal.hidden = true;
    const button = form.querySelector(".primary");
    let body;
    try { body = entries.of(form); } catch (problem) { refuse(problem.message); return; }
    if (form.elements.sure && form.elements.sure.checked) body.sure = true;
    button.disabled = true;
    try { await settle(body, photo, { id: form.elements.id.value, done: "saved" }); }
    catch (problem) { refuse(String(problem.message || problem)); }
    finally { button.disabled = false; }
  }

  if (form && self.indexedDB) {
    if (!document.querySelector(".problem:not([hidden]), .questions")) freshID();
    addEventListener("pageshow", (event) => { if (event.persisted) freshID(); });
    form.addEventListener("submit", submit);
    form.addEventListener("input", (event) => {
      const field = event.target;
      if ((field.inputMode === "decimal" || field.dataset.pad) && field.value.includes(",")) field.value = field.value.replace(",", ".");
      preview();
    });
    form.addEventListener("change", readWith);
    form.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.target.enterKeyHint !== "next") return;
      event.preventDefault();
      const fields = Array.from(form.querySelectorAll(".readings input"));
      fields[fields.indexOf(event.target) + 1].focus();
    });
    if (form.elements.photo) form.elements.photo.addEventListener("change", choosePhoto);
    readWith();
    form.dataset.log = "ready";
    const skip = document.querySelector("form[data-skip]");
    if (skip) skip.addEventListener("submit", (event) => {
      event.preventDefault();
      settle({ entry: "round_skip", vessel: skip.elements.vessel.value, round, note: skip.elements.reason.value.trim() }, null, { id: outbox.ulid(), done: "skipped" });
    });
  }
}
