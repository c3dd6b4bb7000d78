// What waits on this device until it reaches the store: entries with the IDs
// they were given here, so that each counts once however often it is sent, and
// the sheets of rounds. Pages and the service worker both use it.
"use strict";

const outbox = (() => {
  const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

  function ulid() {
    let time = Date.now(), head = "";
    for (let i = 0; i < 10; i++) {
      head = crockford[time % 32] + head;
      time = Math.floor(time / 32);
    }
    const random = crypto.getRandomValues(new Uint8Array(16));
    return head + Array.from(random, (byte) => crockford[byte % 32]).join("");
  }

  function done(request) {
    return new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  }

  let opened;
  function database() {
    opened ||= new Promise((resolve, reject) => {
      const request = indexedDB.open("croze", 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("entries", { keyPath: "id" });
        request.result.createObjectStore("sheets");
      };
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    return opened;
  }

  // use runs one request and waits until what it wrote is on the device.
  async function use(store, mode, work) {
    const transaction = (await database()).transaction(store, mode, { durability: "strict" });
    const finished = new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onabort = transaction.onerror = () => reject(transaction.error);
    });
    const result = await done(work(transaction.objectStore(store)));
    await finished;
    return result;
  }

  const all = () => use("entries", "readonly", (s) => s.getAll()); // by ID: in the order they were made
  const get = (id) => use("entries", "readonly", (s) => s.get(id));
  const put = (item) => use("entries", "readwrite", (s) => s.put(item));
  const remove = (id) => use("entries", "readwrite", (s) => s.delete(id));
  const sheet = (key) => use("sheets", "readonly", (s) => s.get(key));
  const keepSheet = (key, value) => use("sheets", "readwrite", (s) => s.put(value, key));
  const forgetSheets = () => use("sheets", "readwrite", (s) => s.clear());
  const sheetKeys = () => use("sheets", "readonly", (s) => s.getAllKeys());

  // timely gives up on a signal that is there and carries nothing.
  const timely = () => AbortSignal.timeout(20000);

  async function answerOf(item, response, field) {
    if (response.status === 401) return "signed out";
    if (response.status >= 500 || response.status === 408 || response.status === 429) return "unreachable";
    const said = await response.json().catch(() => ({}));
    item.problem = { text: said.said || said.error || "", kind: said.kind || "", questions: said.questions || [], field };
    await put(item);
    return "refused";
  }

  async function sendPhoto(item) {
    const response = await fetch("/api/photos", { method: "POST", headers: { "Content-Type": item.photo.type }, body: item.photo, signal: timely() });
    if (response.status !== 201) return answerOf(item, response, "photo");
    item.body.senses = { ...item.body.senses, photo: (await response.json()).photo };
    delete item.photo;
    await put(item);
    return "sent";
  }

  async function sendOne(item) {
    try {
      if (item.photo) {
        const state = await sendPhoto(item);
        if (state !== "sent") return state;
      }
      const body = { ...item.body, id: item.id };
      const headers = { "Content-Type": "application/json", ...(item.who && { "X-Made-By": encodeURIComponent(item.who) }) };
      const response = await fetch("/api/entries", { method: "POST", headers, body: JSON.stringify(body), signal: timely() });
      if (response.status !== 201) return await answerOf(item, response, "");
      await remove(item.id);
      return "sent";
    } catch {
      return "unreachable";
    }
  }

  async function pass() {
    let state = "sent";
    for (const item of await all()) {
      if (item.problem) continue; // a person decides
      const one = await sendOne(item);
      if (one === "unreachable" || one === "signed out") return one;
      if (one === "refused") state = one;
    }
    return state;
  }

  // send sends what waits, one after another and by one page at a time.
  function send() {
    return self.navigator.locks ? self.navigator.locks.request("croze outbox", pass) : pass();
  }

  // looks are what waits and settles a stop of a round.
  const looks = async () => (await all()).filter((item) => ["sample", "round_skip"].includes(item.body.entry));

  return { ulid, all, looks, get, put, remove, send, sheet, keepSheet, sheetKeys, forgetSheets };
})();
