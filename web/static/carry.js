// On every page: installs the service worker where the browser lets it, sends
// what waits on this device, and says so.
"use strict";

{
  const strip = document.getElementById("waiting");
  const whoKey = "croze:who"; // who was signed in last, for the pages without a signal
  if (document.body.dataset.who) localStorage.setItem(whoKey, document.body.dataset.who);

  async function tell(state) {
    const items = await outbox.all();
    const stuck = items.filter((item) => item.problem).length;
    strip.hidden = items.length === 0;
    strip.replaceChildren();
    if (items.length === 0) return;
    const words = items.length === 1 ? "1 entry waits on this device." : items.length + " entries wait on this device.";
    const link = document.createElement("a");
    link.href = "/outbox";
    link.textContent = stuck ? "Look at what could not be saved" : "Look at them";
    strip.append(words + " ", link);
    if (state === "signed out") {
      const back = encodeURIComponent(location.pathname + location.search);
      strip.append(". ", Object.assign(document.createElement("a"), { href: "/sign-in?next=" + back, textContent: "Sign in to send" }));
    }
  }

  async function sendWaiting() {
    const state = (await outbox.all()).some((item) => !item.problem) ? await outbox.send() : "sent";
    await tell(state);
    document.dispatchEvent(new Event("outbox"));
  }

  // askLater lets the browser send it even after the page is closed, where it can.
  async function askLater() {
    if (!("serviceWorker" in navigator)) return;
    const worker = await navigator.serviceWorker.getRegistration();
    if (worker && worker.sync) await worker.sync.register("outbox").catch(() => {});
  }

  const who = () => document.body.dataset.who || localStorage.getItem(whoKey) || undefined;

  self.carry = { sendWaiting, askLater, tell, who };

  if (self.isSecureContext && "serviceWorker" in navigator) {
    navigator.serviceWorker.register("/sw.js").catch(() => {});
  }
  if (self.indexedDB) {
    const again = 20000; // ms between tries while something waits
    sendWaiting().catch(() => {});
    addEventListener("online", () => sendWaiting());
    document.addEventListener("visibilitychange", () => { if (!document.hidden) sendWaiting(); });
    setInterval(() => { if (!strip.hidden && !document.hidden) sendWaiting(); }, again);
  }
  for (const form of document.querySelectorAll('form[action="/sign-out"]')) {
    // What the store has shown goes from the device before the session ends; what waits to be sent stays.
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      localStorage.removeItem(whoKey);
      await Promise.allSettled([self.caches && caches.delete("croze-pages"), self.indexedDB && outbox.forgetSheets()]);
      form.submit();
    });
  }
}
