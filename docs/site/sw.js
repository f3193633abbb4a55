"use strict";
// Keeps the site for a shop without network: the frame and the bench at once, what was opened as it is opened, the whole
// on request. One version of the files is one cache, so that pages and data of two versions never mix.
self.importScripts("offline-files.js");

const { version, shell, files } = self.offlineFiles;
const CACHE = "running-fits-" + version;
const WHOLE = "kept-whole";
const AT_ONCE = 6;
const address = (name) => new URL(name, self.registration.scope).href;
const known = new Set(files.map(([name]) => address(name)));

/** An address without its question and place, a folder's as its index. */
function plain(url) {
  const found = new URL(url);
  found.search = found.hash = "";
  return found.pathname.endsWith("/") ? found.href + "index.html" : found.href;
}

async function fetched(cache, url) {
  const found = await fetch(new Request(url, { cache: "no-cache" }));
  if (!found.ok) {
    throw new Error(url + " is not there");
  }
  await cache.put(url, found);
}

/** Fetch what a cache lacks of some addresses; `said` hears how far it is. */
async function kept(urls, said = () => {}) {
  const cache = await caches.open(CACHE);
  const there = new Set((await cache.keys()).map((r) => r.url));
  const open = urls.filter((url) => !there.has(url));
  for (let n = 0; n < open.length; n += AT_ONCE) {
    await Promise.all(open.slice(n, n + AT_ONCE).map((url) => fetched(cache, url)));
    said(Math.min(n + AT_ONCE, open.length), open.length);
  }
}

const others = async () => (await caches.keys()).filter((name) => name.startsWith("running-fits-") && name !== CACHE);

/** What an earlier version kept, in this one. */
async function carriedOver() {
  for (const name of await others()) {
    const urls = (await (await caches.open(name)).keys()).map((r) => r.url);
    const whole = urls.includes(address(WHOLE));
    await kept(whole ? [...known] : urls.filter((url) => known.has(url)));
    if (whole) {
      await (await caches.open(CACHE)).put(address(WHOLE), new Response("yes"));
    }
  }
}

/** What stands for a page that is not kept, with ways to what is. */
function missing() {
  const ways = [["bench.html", "Bench"], ["search.html", "Search"], ["engines/index.html", "Engines"]];
  const doors = ways.map(([name, words]) => "<a href='" + address(name) + "'>" + words + "</a> ").join("");
  return "<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'><title>Not kept - Running Fits</title>" +
    "<link rel=stylesheet href='" + address("assets/site.css") + "'><main class=rf-sheet><div><h1>No network</h1>" +
    "<p>This page is not kept on this device. What you opened before is, and so are:</p><p class=rf-doors>" + doors + "</p>" +
    "<p>With a network, the bench keeps the whole site: Engine, then Keep the whole site on this device.</p></div></main>";
}

async function answer(request) {
  const cache = await caches.open(CACHE);
  const url = plain(request.url);
  const found = await cache.match(url);
  if (found) {
    return found;
  }
  try {
    const fresh = await fetch(request);
    if (fresh.ok && known.has(url)) {
      await cache.put(url, fresh.clone());
    }
    return fresh;
  } catch (error) {
    if (request.mode !== "navigate") {
      throw error;
    }
    return new Response(missing(), { status: 503, headers: { "Content-Type": "text/html" } });
  }
}

const MB = 1e6;
const size = () => files.reduce((sum, [, bytes]) => sum + bytes, 0);

/** How large the whole site is, and whether it is kept. */
async function about() {
  const cache = await caches.open(CACHE);
  return (await cache.match(address(WHOLE))) ? "The whole site is kept." : (size() / MB).toFixed(1) + " MB, " + files.length + " files.";
}

async function keepWhole(port) {
  try {
    await kept([...known], (done, all) => port.postMessage({ said: done + " of " + all + " files" }));
    await (await caches.open(CACHE)).put(address(WHOLE), new Response("yes"));
    port.postMessage({ said: await about(), end: true });
  } catch {
    port.postMessage({ said: "Not all could be kept: no network, or no room on this device. What is there works; press again to go on.", end: true });
  }
}

self.addEventListener("install", (event) => event.waitUntil(kept(shell.map(address)).then(carriedOver)));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  await Promise.all((await others()).map((name) => caches.delete(name)));
  await self.clients.claim();
})()));

self.addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && event.request.url.startsWith(self.registration.scope)) {
    event.respondWith(answer(event.request));
  }
});

self.addEventListener("message", (event) => {
  const { keep, ask, now } = event.data;
  const [port] = event.ports;
  if (ask === "size") {
    event.waitUntil(about().then((said) => port.postMessage({ said, end: true })));
  } else if (keep === "whole") {
    event.waitUntil(keepWhole(port));
  } else if (keep) {
    event.waitUntil(kept(keep.map(plain).filter((url) => known.has(url))).catch(() => undefined));
  } else if (now) {
    self.skipWaiting();
  }
});
