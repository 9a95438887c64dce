// The page that shows what this phone keeps, and removes it.
import { saveUnsent } from "../parts/unsent_file.js";
import { clipsHere } from "../store/clips.js";
import { howMany } from "../store/lists.js";
import { readSlate } from "../store/slate.js";
import { onlyHere, signedIn, takeOff } from "../sync/leave.js";
import { sendNow } from "../sync/sync.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { count, megabytes } from "../ui/words.js";
import { startBoat } from "./boat.js";

const STILL_IN =
  "You are still signed in on this phone: the log would come back by itself. Sign out first, then remove it.";
const UNKNOWN =
  "The server does not answer. If this phone is still signed in, the log comes back when it reaches the server again.";
const MORE_WAITS = "Something new was saved and is only on this phone. Nothing was removed: check again.";
const AGREE = "Also remove what was not sent. I have it as a file, or I do not need it.";

const NO_CLIPS = { count: 0, bytes: 0 };

let lists = await howMany().catch(() => 0);
let clips = await clipsHere().catch(() => NO_CLIPS);
let faulty = false;
let shown = new Set(); // the changes that the diver saw listed as only here: a tick does not cover later ones
let mayForce = false; // the server did not answer once: the diver may remove the log without it

startBoat(draw);

function draw(slate) {
  const names = onlyHere(slate);
  const ticked = Boolean(byId("agreed")?.checked) && [...names].every((name) => shown.has(name));
  const left = names.size;
  shown = names;
  redraw(byId("phone"),
    h("section", { class: "sheet", "aria-labelledby": "keeps-head" }, h("h2", { id: "keeps-head" }, "What it keeps"),
      keeps(slate)),
    left > 0 && onlyHerePart(slate, left),
    !isEmpty(slate) && removePart(slate, left, ticked));
}

function keeps(slate) {
  const { user, rows, season, others } = slate;
  if (isEmpty(slate)) return h("p", null, "This phone keeps no log.");
  return [
    h(
      "ul",
      null,
      rows.length > 0 &&
        h("li", null, `${count(rows.length, "record")}${user ? ` of ${user.name}` : ""}, with notes and signs`),
      season && h("li", null, `the season ${season.name} with its plan`),
      others.rows.length > 0 &&
        h("li", null, `${count(others.rows.length, "record")} of other divers who used this phone`),
      lists > 0 && h("li", null, `${count(lists, "list")} that buddies shared`),
      clips.count > 0 &&
        h("li", null, `${count(clips.count, "clip")}, ${megabytes(clips.bytes)}, which are never sent`),
    ),
    h(
      "p",
      null,
      "It stays after signing out, so that no dive is lost. Anyone who has this phone unlocked can read it.",
    ),
  ];
}

function isEmpty({ rows, outbox, parked, kept, others }) {
  const hasRows = [rows, outbox, parked, others.rows, others.outbox, others.parked].some((list) => list.length > 0);
  const hasDraft = Object.keys(kept).some((name) => name.startsWith("draft:"));
  return !hasRows && lists + clips.count === 0 && !kept.user && !hasDraft;
}

function onlyHerePart(slate, left) {
  const { outbox, parked, others } = slate;
  const send = () => void sendNow({ asked: true }); // the line of the outbox tells what became of it
  const divers = [...new Set([...others.outbox, ...others.parked].map((row) => row.user))];
  return h(
    "section",
    { class: "caution", "aria-labelledby": "only-head" },
    h("h2", { id: "only-head" }, `${count(left, "change")} ${left === 1 ? "is" : "are"} only on this phone`),
    h(
      "p",
      null,
      "Before you remove anything, send it, or save it as a file and upload the file on shore under Your data.",
    ),
    h(
      "div",
      { class: "row" },
      h("button", { type: "button", id: "send-first", click: send }, "Send now"),
      outbox.length + parked.length > 0 &&
        h("button", { type: "button", id: "file-first", click: () => saveUnsent(slate) }, "Save as a file"),
      divers.map((id) =>
        h(
          "button",
          { type: "button", id: `file-first-${id}`, click: () => saveUnsent(ofOther(slate, id), `-diver-${id}`) },
          "Save another diver's records as a file",
        ),
      ),
    ),
  );
}

function ofOther({ others, kept }, id) {
  const theirs = (rows) => rows.filter((row) => row.user === id);
  return {
    outbox: theirs(others.outbox),
    parked: theirs(others.parked),
    rows: theirs(others.rows),
    user: { id },
    kept,
  };
}

function removePart(slate, left, ticked) {
  const faults = faulty ? { "aria-invalid": "true", "aria-describedby": "agreed-fault" } : {};
  return h(
    "section",
    { class: "sheet", "aria-labelledby": "remove-head" },
    h("h2", { id: "remove-head" }, "Remove the log from this phone"),
    h(
      "p",
      null,
      "For a phone that you give away or lend. This removes dives, plan, unfinished forms, clips and buddies' lists. " +
        "What was sent stays on the server and comes back when you sign in again.",
    ),
    left > 0 &&
      h(
        "div",
        { class: "field" },
        h(
          "label",
          { class: "tick", for: "agreed" },
          h("input", { type: "checkbox", id: "agreed", checked: ticked, ...faults }),
          h("span", null, AGREE),
        ),
        faulty &&
          h("p", { class: "fault", id: "agreed-fault" }, "Tick this, or send first: these changes are nowhere else."),
      ),
    h(
      "p",
      { class: "actions" },
      h(
        "button",
        { type: "button", id: "remove", click: () => remove(slate) },
        mayForce ? "Remove it anyway" : "Remove the log from this phone",
      ),
    ),
  );
}

async function remove(slate) {
  const agreed = onlyHere(slate);
  faulty = agreed.size > 0 && !byId("agreed").checked;
  if (faulty) {
    draw(slate);
    byId("agreed").focus();
    return;
  }
  const known = mayForce ? "out" : await signedIn();
  mayForce = known === "unknown";
  try {
    if (known === "out") await removed(agreed);
    else showOutcome(slate, known === "in" ? STILL_IN : UNKNOWN);
  } catch (error) {
    console.error(error);
    warn("NOT all of it was removed: this phone's storage does not answer. Try again.");
  }
}

async function removed(agreed) {
  const done = await takeOff(agreed);
  if (done) [lists, clips] = [0, NO_CLIPS];
  showOutcome(await readSlate(), done ? "Removed. The log is no longer on this phone." : MORE_WAITS);
}

function showOutcome(slate, words) {
  draw(slate);
  const link =
    words === STILL_IN && h("p", null, h("a", { class: "button", href: "/account/#out-head" }, "To Sign out"));
  put(byId("phone-says"), h("div", { class: "news" }, h("p", null, words), link));
  byId("phone-says").focus();
}
