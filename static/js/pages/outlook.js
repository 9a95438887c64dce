// The outlook: the last answer of the server with its date, drawn with and without signal. Nothing of it is needed to
// dive or to log.
import { localDay, localTime } from "../clock.js";
import { besidePart, coursePart } from "../parts/outlook_course.js";
import { forecastPart } from "../parts/outlook_forecast.js";
import { limitsPart } from "../parts/outlook_limits.js";
import { bestsPart, loadPart } from "../parts/outlook_load.js";
import { printPart } from "../parts/outlook_print.js";
import { reviewName, reviewsPart } from "../parts/outlook_review.js";
import { reviewForm } from "../parts/outlook_review_form.js";
import { written } from "../plan/review.js";
import { CHANGED, tellHere } from "../store/news.js";
import { keptOutlook } from "../store/outlook.js";
import { fetchOutlook } from "../sync/outlook.js";
import { byId, caution, h, redraw } from "../ui/dom.js";
import { shortDay } from "../ui/words.js";
import { startBoat } from "./boat.js";

const PADDING = 42; // of the sheet that a drawing lies on, in pixels
const WIDEST = 720;

const asked = new URLSearchParams(location.search);
const feed = asked.get("feed");
const block = asked.has("print") ? Number(asked.get("block")) : null;
let synced; // when the phone was last in sync, as it was when the outlook was asked for
let drawn = { id: null, wide: 0 }; // the printed block is drawn once, with what was ticked on it

startBoat(async (slate) => {
  const { kept, student } = await keptOutlook(slate.user, feed);
  if (student) byId("outlook-title").textContent = `Outlook of ${student.name}`;
  try {
    show(slate, kept && JSON.parse(kept.text), student);
  } catch (error) {
    console.error(error); // of a newer server: the other pages work
    redraw(byId("outlook"), news("This phone cannot read the answer that it was sent."));
  }
  askAfterSync(slate);
});

// Each page begins with a sync: then, and after each later one, there may be a newer answer.
/** @param {Slate} slate */
function askAfterSync({ kept }) {
  const first = synced === undefined;
  if (!first && kept.last_sent !== synced) void fetchOutlook({ feed });
  synced = kept.last_sent ?? null;
}

const width = () => Math.min(WIDEST, byId("outlook").clientWidth - PADDING);

// A phone that is turned has another width.
addEventListener("resize", () => drawn.wide !== width() && tellHere(CHANGED));

/** @param {Slate} slate @param {Outlook | null} outlook @param {SharedFeed | null} student */
function show(slate, outlook, student) {
  byId("outlook-as-of").textContent = outlook ? asOf(outlook.made_at) : "No answer yet.";
  if (!outlook) return redraw(byId("outlook"), none(slate, student));
  if (block !== null) return printed(slate, outlook);
  drawn = { id: outlook.id, wide: width() };
  redraw(byId("outlook"),
    caution(outlook.cautions, null),
    older(slate, outlook),
    forecastPart(outlook),
    coursePart(outlook, drawn.wide),
    besidePart(outlook, drawn.wide),
    limitsPart(outlook),
    loadPart(outlook, drawn.wide),
    bestsPart(outlook),
    reviewsPart(outlook.reviews, feed ? null : (review) => reviewForm(slate, review)));
}

/** @param {string} moment */
function asOf(moment) {
  const ms = Date.parse(moment);
  return `As of ${shortDay(localDay(ms))}, ${localTime(ms)}`;
}

/** @param {Slate} slate @param {Outlook} outlook */
function older({ today, outbox }, { today: day }) {
  const says = !feed && outbox.length > 0 ? "What waits to be sent is not in it."
    : day < today ? "What was dived since then is not in it." : null;
  return says && h("p", { class: "soft", id: "older" }, says);
}

/** @param {Slate} slate @param {SharedFeed | null} student */
function none({ user }, student) {
  if (feed && !student) return news("Nothing of this student is on this phone: they may have ended the sharing.");
  const who = user ? "It" : "Sign in once with signal; then it";
  return news(`There is no outlook on this phone yet. ${who} is calculated after a sync, and comes when there is `
    + "signal. You need nothing of it to dive or to log.");
}

/** @param {string} says */
const news = (says) => h("div", { class: "news", id: "no-outlook" }, h("p", null, says));

/** @param {Slate} slate @param {Outlook} outlook */
function printed(slate, outlook) {
  const review = outlook.reviews.find(({ number }) => number === block);
  if (!review) return redraw(byId("outlook"), news("This block is not in the outlook."));
  if (drawn.id === outlook.id) return undefined;
  drawn = { id: outlook.id, wide: width() };
  byId("outlook-title").textContent = reviewName(review);
  const named = { class: "sheet block-page", "aria-labelledby": "outlook-title" };
  return redraw(byId("outlook"), caution(outlook.cautions, null), h("section", named,
    printPart({ review, season: outlook.season?.name ?? "", name: slate.user?.name ?? "",
      said: written(slate.rows, review) })));
}
