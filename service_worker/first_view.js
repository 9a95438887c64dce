// Today opens with what it drew last: the worker fills the shell with it and puts the page's code behind the first
// frame, and so the links to icons and manifest, which nobody sees. store/first_view.js says when a drawing counts.
// Without one the shell goes out as it is kept.
import { localDay } from "/static/js/clock.js";
import { firstView } from "/static/js/store/first_view.js";
import { VERSION } from "./list.js";

const PATIENCE_MS = 500; // storage that does not answer must not hold the page up
const HTML = "<html";
const THEME = '<script src="/static/js/theme.js">';
const CONTENT = /<!-- content -->[^]*<!-- end of content -->/;
const LINKS = /<!-- links -->([^]*)<!-- end of links -->/;
const CODE = /<!-- code -->([^]*)<!-- end of code -->/;
const ADDRESS = /(?:src|href)="([^"]+)"/g;

/** @param {Promise<Response>} shell @returns {Promise<Response>} */
export async function withFirstView(shell) {
  const asked = Promise.race([firstView(localDay(), VERSION), patience()]);
  const view = await asked.catch((error) => console.warn(error));
  const answer = await shell;
  if (!view || !answer.ok) return answer;
  return new Response(filled(await answer.text(), view), { headers: answer.headers });
}

// A function gives each part: in a text `$&` would have a meaning of its own. The page is told day or night here, so
// that theme.js need not run before the first frame: a browser waiting for it shows an empty page in the meantime.
function filled(text, { markup, theme }) {
  return text.replace(CONTENT, () => markup)
    .replace(THEME, THEME.replace("<script", "<script defer"))
    .replace(HTML, theme ? `${HTML} data-theme="${theme}"` : HTML)
    .replace(LINKS, (_, links) => `<template id="late-links">${links}</template>`)
    .replace(CODE, (_, code) => `<meta name="code" content="${addresses(code)}">`);
}

// theme.js brings them in: it is there before the first frame anyway.
function addresses(code) {
  return [...new Set([...code.matchAll(ADDRESS)].map(([, address]) => address))].join(" ");
}

/** @returns {Promise<null>} */
function patience() {
  return new Promise((resolve) => setTimeout(() => resolve(null), PATIENCE_MS));
}
