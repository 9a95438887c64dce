// The events of the service worker, in their order. strategies.js has the ways to answer, list.js (made by the server)
// the
// files. The worker answers only GET requests to this origin: Safari has sent empty bodies through workers that did
// more. The one exception is what another app shares with this one, which Safari does not offer.
import { ACTIVATE, KEEP_MORE } from "/static/js/messages.js";
import { withFirstView } from "./first_view.js";
import { FILES, MORE, SHELLS } from "./list.js";
import { isKept, keepAll, keepMore, keptFirst, networkElse, sweep } from "./strategies.js";

const RECEIVED = "/boat/received";
const SHARE_SHELL = "/share/offline-shell";
const OFFLINE = "/boat/offline";
const HOME = "/boat/today";
const MORE_FILES = Object.values(MORE).flat();

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(sweep()));

// A waiting version starts only when the diver asks for it.
self.addEventListener("message", (/** @type {any} */ event) => {
  if (event.data?.say === ACTIVATE) self.skipWaiting();
  if (event.data?.say === KEEP_MORE) event.waitUntil(keepAllMore());
});

// One after the other: the page that is open comes first. Somebody who saves data gets them by opening them.
async function keepAllMore() {
  if (/** @type {any} */ (self.navigator).connection?.saveData) return;
  for (const path of Object.keys(MORE)) await keepMore(path);
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (url.pathname === RECEIVED && event.request.method === "POST") event.respondWith(putAside(event.request));
  if (event.request.method !== "GET") return;
  const answer = event.request.mode === "navigate" ? page(event, url.pathname) : file(event, url.pathname);
  if (answer) event.respondWith(answer);
});

// Without signal too: the text is kept in a cache of its own until the page takes it.
async function putAside(request) {
  const form = await request.formData();
  const file = form.get("day");
  const text = file instanceof File ? await file.text() : String(form.get("text") ?? "");
  const answer = new Response(text, { headers: { "Content-Type": "text/plain" } });
  await (await caches.open("received")).put(RECEIVED, answer);
  return Response.redirect("/boat/hand?received", 303);
}

function page(event, path) {
  const { request } = event;
  if (path === "/") return Response.redirect(HOME);
  if (path === HOME) return withFirstView(keptFirst(request, path));
  if (SHELLS.includes(path)) return keptFirst(request, path);
  if (path in MORE) return later(event, path);
  return networkElse(request, path.startsWith("/share/") ? SHARE_SHELL : OFFLINE);
}

// A page that is kept once it was opened: until then it comes whole from the server. The event is told at once that
// more is to be done.
function later(event, path) {
  const answer = isKept(path).then((kept) =>
    (kept ? keptFirst(event.request, path) : networkElse(event.request, OFFLINE)));
  event.waitUntil(answer.then(() => keepMore(path)));
  return answer;
}

function file({ request, clientId }, path) {
  return FILES.includes(path) || MORE_FILES.includes(path) ? fileOf(request, path, clientId) : null;
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
  if (!client) return true;
  const path = new URL(client.url).pathname;
  return SHELLS.includes(path) || (path in MORE && isKept(path));
}
