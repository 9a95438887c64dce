// The emergency page. Its steps stand in the shell; this fills in the site's numbers and positions, before anything
// else of the app is loaded: no log and no plan are read for it.
import { localTime, now } from "../clock.js";
import { askPosition, isAllowed } from "../parts/phone_position.js";
import { calls, facts, place, planFirst } from "../parts/site_plan.js";
import { isSite, seasonSite } from "../store/sites.js";
import { warn } from "../ui/alarm.js";
import { byId, h, redraw } from "../ui/dom.js";

const NO_SITE = "This phone knows no site yet: fill in its emergency plan before you dive.";
const MISSING = [
  ["emergency_phone", "the local emergency number"],
  ["chamber_phone", "the chamber's number"],
  ["hospital_phone", "the hospital's number"],
  ["radio_channel", "the radio channel"],
];

const help = byId("call-help");
let own = null; // the site of the season
let sites = []; // all of this phone
let theirs = []; // those that a crew was given, by whomever
let chosen = null; // the id of the one that the diver has switched to
let phone = null; // where the phone is, or why it does not say

void begin(); // it tells what fails by itself

async function begin() {
  try {
    own = await seasonSite();
    draw();
  } catch (error) {
    console.error(error);
    warn("This window cannot read what the phone keeps. The steps below stand all the same.");
  }
  if (await isAllowed()) void locate(); // it never fails
  requestAnimationFrame(() => setTimeout(startRest));
}

// The rest of the app comes after the numbers: what waits is sent, and the phone's other sites can be chosen.
async function startRest() {
  try {
    const [{ startBoat }, { sitesOfCrews }] = await Promise.all([import("./boat.js"), import("../parts/crew_late.js")]);
    await startBoat(async (slate) => {
      theirs = await sitesOfCrews(slate.user);
      sites = slate.rows.filter(isSite).sort((one, other) => (nameOf(one) < nameOf(other) ? -1 : 1));
      own = sites.find(({ record }) => record === slate.season?.site) ?? named(slate.sheet?.site.name) ?? null;
      draw();
    });
  } catch (error) {
    console.error(error); // without signal on a first visit
  }
}

const nameOf = ({ fields }) => String(fields.name ?? "");
const named = (name) => sites.find((site) => name && nameOf(site) === name) ?? sites[0];
const all = () => [...sites, ...theirs];

function draw() {
  const site = all().find(({ record }) => record === chosen) ?? planFirst(own, theirs);
  redraw(byId("plan"), site ? plan(site) : noPlan(), positions(site?.fields ?? {}), site && facts(site.fields),
    ways(site));
  // without a number to dial, what to do instead comes up to where the number would be
  if (site?.fields.emergency_phone) byId("plan").after(help);
  else byId("missing-says").after(help);
}

const missingIn = (fields) => MISSING.filter(([name]) => !fields[name]).map(([, says]) => says);

function plan({ fields, crew }) {
  const missing = missingIn(fields);
  return [
    h("h2", { id: "site-name" }, nameOf({ fields })),
    crew && h("p", { id: "plan-of" }, `The plan of ${crew}.`),
    missing.length > 0 && h("p", { class: "flag", id: "missing-says" }, `Not filled in: ${missing.join(", ")}.`),
    calls(fields),
  ];
}

function noPlan() {
  return h("p", { class: "flag", id: "missing-says" }, NO_SITE);
}

function positions(fields) {
  return h("div", { class: "places" }, place("Site", fields), phonePart());
}

function phonePart() {
  const here = place("This phone", phone ?? {});
  const about = here && h("p", { class: "small" }, `At ${phone.at}, to about ${Math.ceil(phone.accuracy_m)} m.`);
  const words = phone?.waits ? "Looking for satellites …" : here ? "Look again" : "Show this phone's position";
  return h("div", { class: "own-place", role: "status" }, here, about, phone?.says && h("p", null, phone.says),
    h("button", { type: "button", class: "button-quiet screen-only", id: "locate", click: locate }, words));
}

async function locate() {
  if (phone?.waits) return;
  phone = { ...phone, says: undefined, waits: true };
  draw();
  phone = { ...(await askPosition()), at: localTime(now()) };
  draw();
}

// What leads on: another site, and the form of this one.
function ways(site) {
  const others = all().length > 1;
  const pick = ({ target }) => {
    chosen = target.value;
    draw();
  };
  const options = () => all().map((one) => h("option", { value: one.record, selected: one.record === site?.record },
    one.crew ? `${nameOf(one)}, ${one.crew}` : nameOf(one)));
  const to = site?.crew ? "/boat/site" : site ? `/boat/site?id=${encodeURIComponent(site.record)}` : "/boat/site";
  return h("div", { class: "ways-on screen-only" },
    others && h("div", { class: "field" }, h("label", { for: "other-site" }, "Other site"),
      h("select", { id: "other-site", change: pick }, options())),
    h("a", { class: "button button-quiet", id: "to-site", href: to },
      wayWords(site)));
}

function wayWords(site) {
  if (site?.crew) return "Your own site";
  return missingIn(site?.fields ?? {}).length > 0 ? "Fill in the plan" : "Change this plan";
}
