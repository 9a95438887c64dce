// The site page: place and emergency plan, typed once and kept like a dive: on this phone first, then everywhere.
import { BOAT } from "../labels.js";
import { now } from "../clock.js";
import { askPosition } from "../parts/phone_position.js";
import { check } from "../parts/site_check.js";
import { asTyped, filledIn, siteForm, typedIn } from "../parts/site_form.js";
import { writeRelaxed } from "../store/db.js";
import { save } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { isSite } from "../store/sites.js";
import { STATES } from "../store/states.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put } from "../ui/dom.js";
import { showFaults } from "../ui/fields.js";
import { FIELDS, NOT_SAVED, whenMoment } from "../ui/words.js";
import { startBoat } from "./boat.js";

const NEW = "new";
const asked = new URLSearchParams(location.search).get("id");
let page = null; // {slate, row, draft}: set once, so that an answer of the server never changes a form in use
let saving = false;

startBoat((slate) => {
  if (page) return;
  const sites = slate.rows.filter(isSite);
  const own = sites.find(({ record }) => record === slate.season?.site) ?? sites[0] ?? null;
  const row = asked === NEW ? null : asked ? slate.rows.find(({ record }) => record === asked) : own;
  if (asked && asked !== NEW && !row) return lost();
  page = { slate, row, draft: `draft:${slate.user?.id ?? ""}:site:${row?.record ?? NEW}` };
  begin(sites);
});

function lost() {
  put(byId("site"), h("div", { class: "news" }, h("p", null, "This site is not on this phone."),
    h("p", null, h("a", { class: "button", href: "/boat/site" }, "To the season's site"))));
}

function begin(sites) {
  const { slate, row } = page;
  const draft = slate.kept[page.draft];
  draw(draft?.typed ?? asTyped(row?.fields ?? { name: sites.length ? "" : slate.sheet?.site.name }), sites);
  if (draft) say(draft, sites);
  if (row?.faults.length) showFaults(byId("site-form"), byId("form-head"), row.faults, FIELDS);
}

function draw(typed, sites) {
  byId("site-title").textContent = page.row ? "Site and emergency plan" : "A new site";
  put(byId("site"), h("div", { id: "draft-news" }),
    h("form", { id: "site-form", novalidate: true, submit: onSave, input: keepDraft, change: keepDraft },
      h("div", { id: "form-head" }), siteForm(typed, locate)),
    others(sites));
  byId("thumb").hidden = false;
}

function others(sites) {
  const rest = sites.filter((one) => one.record !== page.row?.record);
  const link = (words, id) =>
    h("a", { class: "button button-quiet", href: `/boat/site?id=${encodeURIComponent(id)}` }, words);
  return h("div", { class: "actions", id: "other-sites" },
    rest.map((one) => link(String(one.fields.name ?? ""), one.record)), page.row && link("A new site", NEW),
    h("a", { class: "button button-quiet", href: "/boat/emergency" }, "Emergency page"));
}

function say({ at }, sites) {
  const startAfresh = async () => {
    await writeRelaxed(["kept"], ({ kept }) => void kept.delete(page.draft));
    draw(asTyped(page.row?.fields ?? {}), sites);
    byId("site-title").focus();
  };
  put(byId("draft-news"), h("div", { class: "news" },
    h("p", null, `This form was left unfinished at ${whenMoment(at)}. It is as you left it.`),
    h("button", { type: "button", class: "button-quiet", id: "afresh", click: startAfresh }, "Start afresh")));
}

function keepDraft() {
  if (saving) return;
  const draft = { typed: typedIn(byId("site-form")), at: now() };
  writeRelaxed(["kept"], ({ kept }) => void kept.put(draft, page.draft)).catch((error) => console.error(error));
}

// Only after the touch: nobody is asked for their position for opening a page.
async function locate() {
  const says = byId("locate-says");
  says.textContent = "Looking for satellites …";
  const found = await askPosition();
  says.textContent = found.says ?? `Filled in, to about ${Math.ceil(found.accuracy_m)} m. Check it, then save.`;
  if (found.says) return;
  for (const name of /** @type {const} */ (["latitude", "longitude"])) byId(name).value = filledIn(name, found[name]);
  keepDraft();
}

async function onSave(event) {
  event.preventDefault();
  if (saving) return; // wet fingers touch twice
  const { slate, row, draft } = page;
  const { fields, faults } = check(typedIn(byId("site-form")), BOAT.limits, row?.fields);
  if (showFaults(byId("site-form"), byId("form-head"), faults, FIELDS)) return;
  saving = true;
  try {
    const user = slate.user?.id ?? null;
    const record = await save({ kind: "site", record: row?.record, fields, user, draft });
    await showSaved(record);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
    saving = false;
  }
}

async function showSaved(record) {
  put(byId("alarm"));
  byId("thumb").hidden = true;
  byId("site-title").textContent = "Saved";
  byId("site-title").focus();
  const isOfSeason = (await readSlate()).season?.site === record;
  put(byId("site"),
    h("p", { class: "saved", role: "status" }, `The site is ${STATES.here}.`),
    !isOfSeason && h("p", null, "The season has another site: choose this one there, on shore."),
    h("div", { class: "actions" },
      h("a", { class: "button button-primary", href: "/boat/emergency", id: "to-emergency" }, "See the emergency page"),
      h("a", { class: "button", href: `/boat/site?id=${encodeURIComponent(record)}` }, "Edit this site")));
  scrollTo(0, 0);
}
