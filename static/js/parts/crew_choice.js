// Which crew a page shows, when the diver has several; and what it says when there is none.
import { h } from "../ui/dom.js";

const asked = new URLSearchParams(location.search).get("crew");

/** The crew that the address names, else the first. @param {any[]} crews */
export function chosenCrew(crews) {
  return crews.find(({ feed }) => feed === asked) ?? crews[0] ?? null;
}

/** The address of another page of this crew. @param {string} page */
export const crewAddress = (page, feed) => `/boat/${page}?crew=${encodeURIComponent(feed)}`;

/** @param {any[]} crews @param {any} crew @param {string} page */
export function choice(crews, crew, page) {
  if (!crew) return noCrew();
  if (crews.length === 1) return h("p", { class: "crew-name" }, crew.name);
  return h("nav", { class: "row", "aria-label": "Crews" }, crews.map(({ feed, name }) =>
    h("a", { class: "button", href: crewAddress(page, feed), "aria-current": feed === crew.feed ? "page" : null },
      name)));
}

function noCrew() {
  return h("div", { class: "news" },
    h("p", null, "No crew is on this phone yet. Make one on shore, or open the link that a crew gave you. "
      + "Then open this page with signal once."),
    h("p", null, h("a", { class: "button", href: "/crews/" }, "Crews")));
}
