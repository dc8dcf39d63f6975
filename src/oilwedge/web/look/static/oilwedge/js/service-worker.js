// Lets the measure page start without a network: keeps static files and the pages that one account
// has seen. It never keeps an answer to a POST, and another account's pages go at once.
"use strict";

const FILES = "oilwedge-files";
const WHO = "oilwedge-who";
const PAGES = "oilwedge-pages-";
const OFFLINE = "/offline";
const PATIENCE_MS = 4000;
const MEASURE = /^\/jobs\/[^/]+\/measure\/[^/]+\/\d+\/$/;

self.addEventListener("install", (event) => {
  event.waitUntil(keepOffline().then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function keepOffline() {
  const page = await fetch(OFFLINE, { credentials: "omit" });
  if (!page.ok) return;
  const files = await caches.open(FILES);
  const words = await page.clone().text();
  await files.put(OFFLINE, page);
  const wanted = [...words.matchAll(/(?:src|href)="(\/static\/[^"]+)"/g)].map((one) => one[1]);
  await Promise.all(wanted.map((address) => keepFile(address).catch(() => {})));
}
async function keepFile(address) {
  const answer = await fetch(address);
  if (answer.ok) await (await caches.open(FILES)).put(address, answer);
}
async function account() {
  const kept = await (await caches.open(WHO)).match("/who");
  return kept ? kept.text() : "";
}
async function setAccount(id) {
  if (id === (await account())) return;
  await forgetPages();
  await (await caches.open(WHO)).put("/who", new Response(id));
}
async function forgetPages() {
  for (const name of await caches.keys()) {
    if (name.startsWith(PAGES) || name === WHO) await caches.delete(name);
  }
  await forgetPlans();
}
// What is planned on jobs goes with the pages; what was typed and waits does not.
function forgetPlans() {
  return new Promise((done) => {
    const request = indexedDB.open("oilwedge");
    request.onupgradeneeded = () => request.transaction.abort();
    request.onerror = () => done();
    request.onsuccess = () => {
      const database = request.result;
      const transaction = database.transaction("plans", "readwrite");
      transaction.objectStore("plans").clear();
      transaction.oncomplete = transaction.onerror = transaction.onabort = () => {
        database.close();
        done();
      };
    };
  });
}

self.addEventListener("message", (event) => {
  const { kind, account: id, addresses } = event.data || {};
  if (kind !== "keep" || !id) return;
  event.waitUntil((async () => {
    await setAccount(String(id));
    for (const address of addresses || []) {
      const url = new URL(address, self.location.origin);
      if (url.origin !== self.location.origin) continue;
      if (url.pathname.startsWith("/static/")) await keepFile(url.href).catch(() => {});
      else if (MEASURE.test(url.pathname)) await page(new Request(url.origin + url.pathname)).catch(() => {});
    }
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && url.pathname === "/logout") {
    event.waitUntil(forgetPages());
    return;
  }
  if (request.method !== "GET") return;
  if (url.pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(navigation(request, url));
});

// A race and no signal: a navigation may not be asked for with anything added to it.
function inTime(request) {
  return new Promise((done, failed) => {
    setTimeout(() => failed(new Error("too slow")), PATIENCE_MS);
    fetch(request).then(done, failed);
  });
}
async function file(request) {
  const files = await caches.open(FILES);
  try {
    const answer = await inTime(request);
    if (answer.ok) await files.put(request, answer.clone());
    return answer;
  } catch (error) {
    const kept = await files.match(request, { ignoreSearch: true });
    if (kept) return kept;
    throw error;
  }
}
async function page(request) {
  const answer = await inTime(request);
  const id = answer.headers.get("X-Oilwedge-Account");
  if (answer.ok && id && !answer.redirected) {
    await setAccount(id);
    const { pathname } = new URL(request.url);
    await (await caches.open(PAGES + id)).put(pathname, answer.clone());
  }
  return answer;
}
async function navigation(request, url) {
  try {
    // Other pages may take their time (a sheet, an export): only a network that fails counts.
    return MEASURE.test(url.pathname) ? await page(request) : await fetch(request);
  } catch {
    const kept = await keptPage(url);
    return kept || (await (await caches.open(FILES)).match(OFFLINE)) || Response.error();
  }
}
// The page itself, else any measure page of the same job: its script shows the set of the address.
async function keptPage(url) {
  const parts = url.pathname.split("/");
  if (parts[1] !== "jobs" || parts[3] !== "measure") return undefined;
  const pages = await caches.open(PAGES + (await account()));
  const exact = await pages.match(url.pathname);
  if (exact) return exact;
  const start = `/jobs/${parts[2]}/measure/`;
  const others = (await pages.keys()).filter((one) => new URL(one.url).pathname.startsWith(start));
  return others.length ? pages.match(others[others.length - 1]) : undefined;
}
