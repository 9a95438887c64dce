// The line at the foot of every boat page: how many records wait, why, and which need a look; the buttons to send or
// save them.
import { now } from "../clock.js";
import { STATES } from "../store/states.js";
import { sendNow } from "../sync/sync.js";
import { byId, h, redraw } from "../ui/dom.js";
import { count, whenMoment } from "../ui/words.js";
import { drawInstall } from "./install.js";
import { saveUnsent } from "./unsent_file.js";

const WHY = {
  offline: "They will be sent when there is signal.",
  "no-server": "Lineslate's server does not answer. They will be sent later.",
  slow: "The signal is too weak for now. They will be sent later.",
  busy: "The server is busy. They will be sent later.",
  refused: "The server does not understand this version of the app. They will be sent later.",
  "sign-in": "Sign in to send them. Logging works without it.",
  "other-user": "Another diver is signed in on this phone.",
};

const LONG_WAIT_MS = 24 * 3_600_000; // a record that waits longer than this must not exist on this phone alone

let lastWords = "";

export function drawOutbox(slate) {
  const words = says(slate);
  const line = byId("outbox-says");
  if (words !== lastWords) line.textContent = words; // a screen reader reads it once for each change
  lastWords = words;
  redraw(byId("outbox-more"), more(slate));
  // what stands above it is still to come on a phone that has not heard from the server yet
  if (slate.user || slate.kept.sync) byId("boat-foot").hidden = false;
}

function says({ outbox, parked, kept, rows }) {
  const waiting = new Set(outbox.map((row) => row.record)).size;
  const look = new Set(parked.map((row) => row.record ?? row.op)).size;
  const parts = [];
  if (waiting) parts.push(`${waiting} ${STATES.here}, not sent yet.`, WHY[kept.sync?.kind] ?? "");
  else if (look === 0) parts.push(rows.length ? `All ${STATES.sent}.` : "Nothing to send.");
  if (outbox.some((row) => now() - Date.parse(row.made_at) > LONG_WAIT_MS))
    parts.push("Some have waited for more than a day: save them as a file too.");
  if (look) parts.push(`${count(look, "record")} ${look === 1 ? "needs" : "need"} a look.`);
  if (kept.last_sent) parts.push(`Last sent ${whenMoment(kept.last_sent)}.`);
  return parts.filter(Boolean).join(" ");
}

function more(slate) {
  const { user, outbox, parked, kept, others } = slate;
  const strangers = others.outbox.length + others.parked.length;
  const send = () => void sendNow({ asked: true }); // the line itself tells what became of it
  const signIn = kept.sync?.kind === "sign-in" || !user;
  return [
    user && h("p", { class: "soft" }, `This phone keeps the log of ${user.name}.`),
    strangers > 0 &&
      h(
        "p",
        null,
        `${count(strangers, "change")} of another diver ${strangers === 1 ? "stays" : "stay"} on this phone ` +
          "until that diver signs in again.",
      ),
    parked.length > 0 &&
      h("p", null, h("a", { class: "button button-quiet", href: "/boat/log#needs-a-look" }, "See what needs a look")),
    h(
      "div",
      { class: "row" },
      signIn && h("a", { class: "button", href: "/account/sign-in?next=/boat/today", id: "go-sign-in" }, "Sign in"),
      h("button", { type: "button", id: "send-now", click: send }, "Send now"),
      outbox.length + parked.length > 0 &&
        h(
          "button",
          { type: "button", class: "button-quiet", id: "take-file", click: () => saveUnsent(slate) },
          "Save unsent records as a file",
        ),
    ),
    drawInstall(),
  ];
}
