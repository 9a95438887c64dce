// The events of the service worker, in their order. strategies.js has the ways to answer, list.js (made by the server)
// the
// files. The worker answers only GET requests to this origin: Safari has sent empty bodies through workers that did
// more.
import { ACTIVATE } from "/static/js/messages.js";
import { FILES, SHELLS } from "./list.js";
import { keepAll, keptFirst, networkElse, sweep } from "./strategies.js";

const SHARE_SHELL = "/share/offline-shell";
const OFFLINE = "/boat/offline";
const HOME = "/boat/today";

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(sweep()));

// A waiting version starts only when the diver asks for it.
self.addEventListener("message", (/** @type {any} */ event) => {
  if (event.data?.say === ACTIVATE) self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin || event.request.method !== "GET") return;
  const answer = event.request.mode === "navigate" ? page(event.request, url.pathname) : file(event, url.pathname);
  if (answer) event.respondWith(answer);
});

function page(request, path) {
  if (path === "/") return Response.redirect(HOME);
  if (SHELLS.includes(path)) return keptFirst(request, path);
  return networkElse(request, path.startsWith("/share/") ? SHARE_SHELL : OFFLINE);
}

function file({ request, clientId }, path) {
  return FILES.includes(path) ? fileOf(request, path, clientId) : null;
}

// A kept shell gets the files of its own version; a page from the server gets its files from the server.
async function fileOf(request, path, clientId) {
  return (await isShell(clientId)) ? keptFirst(request, path) : networkElse(request, path);
}

// A page asks for dozens of files, one after the other: who it is need be looked up once.
let asking = { clientId: null, answer: Promise.resolve(true) };

function isShell(clientId) {
  if (asking.clientId !== clientId) asking = { clientId, answer: lookUp(clientId) };
  return asking.answer;
}

async function lookUp(clientId) {
  const client = clientId ? await self.clients.get(clientId) : null;
  return !client || SHELLS.includes(new URL(client.url).pathname);
}
