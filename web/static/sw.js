// The service worker: the frame of the program and the pages of a round that
// is carried work without a signal, and what waits is sent when there is one.
// The program puts the version of its files in front.
"use strict";

importScripts("/static/outbox.js");

const shell = "croze-shell-" + version;
const carried = "croze-pages";
const frames = ["/offline", "/outbox", "/scan", "/phone"];
const patience = 4000; // ms to wait for a weak signal when there is a kept page

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(shell);
    await cache.addAll(frames.concat(files));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("croze-shell-") && name !== shell) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("sync", (event) => {
  if (event.tag !== "outbox") return;
  event.waitUntil(outbox.send().then((state) => {
    if (state === "unreachable") throw new Error("no signal yet"); // the browser tries again
  }));
});

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== self.location.origin) return;
  if (event.request.mode === "navigate") event.respondWith(page(event.request, address));
  else if (files.includes(address.pathname)) event.respondWith(file(event.request));
});

async function file(request) {
  return (await (await caches.open(shell)).match(request, { ignoreSearch: true })) || fetch(request);
}

// keptPage finds a page on this device: as it was asked for, without what the
// address says besides, or a frame that works by itself.
async function keptPage(request, address) {
  const pages = await caches.open(carried), frame = await caches.open(shell);
  return (await pages.match(request)) || (await pages.match(request, { ignoreSearch: true })) ||
    (frames.includes(address.pathname) && (await frame.match(address.pathname)));
}

function refused(after) {
  return new Promise((resolve, reject) => setTimeout(() => reject(new Error("a weak signal")), after));
}

async function page(request, address) {
  const kept = await keptPage(request, address);
  try {
    const response = await (kept ? Promise.race([fetch(request), refused(patience)]) : fetch(request));
    if (response.ok && !response.redirected) await refresh(request, response);
    return response;
  } catch {
    return kept || (await caches.open(shell)).match("/offline");
  }
}

// refresh keeps the newer copy of a page that is carried already.
async function refresh(request, response) {
  const pages = await caches.open(carried);
  if (await pages.match(request)) await pages.put(request, response.clone());
}
