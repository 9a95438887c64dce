// The coach's page: each student who shares something, one of them opened, and the progress of all of them.
import { namesOfFeeds, withRecords } from "../store/feeds.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { startBoat } from "./boat.js";

// What draws a student comes while the names are drawn.
const parts = Promise.all([import("../parts/student_of.js"), import("../parts/student_card.js"),
  import("../parts/student_more.js"), import("../parts/propose_form.js")]).then((all) => Object.assign({}, ...all));
const asked = new URLSearchParams(location.search).get("student");
const places = new Map(); // by feed: names stand at once, and each student is filled in when their plan is read
const forms = new Map(); // by feed; a form in use must not change when something arrives
let drawn = ""; // which students the page shows

startBoat(async (slate) => {
  const logs = (await namesOfFeeds(slate.user)).filter(({ kind }) => kind === "log");
  const sorted = logs.sort((one, other) => (one.name < other.name ? -1 : 1));
  const shown = asked ? sorted.filter(({ feed }) => feed === asked) : sorted;
  frame(shown);
  const students = [];
  const { studentOf, progress } = await parts;
  for (const feed of shown) { // each log is read in a task of its own: ten in one go would keep a touch waiting
    const student = studentOf(await withRecords(feed), slate.today);
    students.push(student);
    await fill(student, slate);
  }
  if (!asked) redraw(byId("progress"), students.length > 0 && h("h2", null, "Towards their own goals"),
    students.map(progress));
});

/** @param {SharedFeed[]} shown */
function frame(shown) {
  const now = shown.map(({ feed, name }) => `${feed} ${name}`).join("\n") || "none";
  if (drawn === now) return;
  drawn = now;
  for (const { feed } of shown) if (!places.has(feed)) places.set(feed, h("div", { class: "student-says" }, "…"));
  redraw(byId("coach"),
    asked && h("p", { class: "actions" },
      h("a", { class: "button button-quiet", href: "/boat/coach" }, "All students")),
    shown.length === 0 && nobody(),
    shown.map(section),
    h("div", { id: "progress" }));
}

/** @param {SharedFeed} feed */
function section({ feed, name }) {
  const head = `student-${feed}`;
  return h("section", { class: "sheet student", "aria-labelledby": head },
    h("h2", { id: head }, name), places.get(feed),
    !asked && h("p", { class: "actions" }, h("a", { class: "button button-quiet",
      href: `/boat/coach?student=${feed}`, "aria-label": `Open ${name}` }, "Open")));
}

function nobody() {
  return h("div", { class: "news", id: "nobody" },
    h("p", null, asked ? "Nothing of this student is on this phone: they may have ended the sharing."
      : "Nobody shares a log with you. A diver allows it on shore, for each person and each right, "
        + "and can end it at any time. It comes to this phone with the next sync."),
    h("p", { class: "row" }, h("a", { class: "button", href: "/people/" }, "People (on shore)")));
}

/** @param {any} student @param {Slate} slate */
async function fill(student, slate) {
  const { judgedDives, studentCard, progress, studentMore, proposeForm } = await parts;
  const { feed, rights } = student.feed;
  const place = places.get(feed);
  if (!place.firstElementChild) put(place, h("div", null));
  redraw(place.firstElementChild, studentCard(student), asked && studentMore(student, slate),
    asked && progress(student));
  const makeForm = () => proposeForm(student, judgedDives(student.plan), slate);
  const form = asked && rights.includes("propose") ? formOf(feed, makeForm) : null;
  if (form && !form.isConnected) place.append(form);
  if (!form) forms.get(feed)?.remove();
}

/** @param {string} feed @param {() => Element} makeForm */
function formOf(feed, makeForm) {
  if (!forms.has(feed)) forms.set(feed, makeForm());
  return forms.get(feed);
}
