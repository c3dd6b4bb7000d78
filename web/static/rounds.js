// Carries the round on this device: its sheet, and the forms of its vessels,
// so that it can be walked without a signal.
"use strict";

{
  const said = document.getElementById("kept");

  // keep returns the page as who is signed in gets it, "" if there is none.
  async function keep(cache, address) {
    const response = await fetch(address);
    if (!response.ok || response.redirected) return "";
    await cache.put(address, response.clone());
    return response.text();
  }

  async function carryRound(id) {
    const response = await fetch("/api/rounds/" + id);
    if (!response.ok) return;
    const sheet = await response.json();
    await outbox.keepSheet(id, sheet);
    const vessels = await fetch("/api/vessels");
    if (vessels.ok) await outbox.keepSheet("vessels", await vessels.json());
    if (!self.isSecureContext || !self.caches) {
      said.replaceChildren("Without a secure address (https) this device cannot keep the round for when there is no signal. ",
        Object.assign(document.createElement("a"), { href: "/phone", textContent: "How to give it one" }));
      return;
    }
    const cache = await caches.open("croze-pages");
    await keep(cache, "/rounds/" + id);
    const open = sheet.stops.filter((stop) => stop.status === "open");
    let forms = 0;
    for (const stop of open) {
      const vessel = "/v/" + encodeURIComponent(stop.vessel);
      const page = await keep(cache, vessel + "/log/sample?round=" + id);
      if (page.includes(" data-log ")) forms++; // a reader's has no form
      await keep(cache, vessel);
    }
    said.textContent = open.length > 0 && forms === 0 ? "This device carries the round, to be read without a signal." :
      "This device carries the round: " + forms + (forms === 1 ? " vessel" : " vessels") + " can be logged without a signal.";
    said.dataset.carried = forms;
  }

  // mark shows which vessels were logged on this device and are not sent yet.
  async function mark() {
    const waiting = new Map((await outbox.looks()).map((item) => [item.body.vessel, item]));
    for (const stop of document.querySelectorAll(".stops li")) {
      const item = waiting.get(stop.dataset.vessel), what = stop.querySelector(".what");
      let note = stop.querySelector(".waits");
      stop.classList.toggle("kept-here", Boolean(item));
      if (!item && note) note.remove();
      if (item && !note) {
        note = Object.assign(document.createElement("strong"), { className: "waits", textContent: "On this device, not sent yet · " });
        what.prepend(note);
      }
    }
  }

  document.addEventListener("outbox", mark);
  if (self.indexedDB) {
    mark();
    if (said) carryRound(said.dataset.round).catch(() => { said.textContent = "No signal. What this device carries can be walked on."; });
  }
}
