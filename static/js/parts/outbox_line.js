// The permanent line: how many dives are saved here, how many are sent, which need a look; send now, take them as a file.
import { now } from "../clock.js";
import { STATES } from "../store/states.js";
import { sendNow } from "../sync/sync.js";
import { byId, h, redraw } from "../ui/dom.js";
import { count, whenMoment } from "../ui/words.js";
import { drawInstall } from "./install.js";
import { saveUnsent } from "./unsent_file.js";

const WHY = {
  offline: "They go when there is signal.",
  "no-server": "There may be a network, but Lineslate's server does not answer. They go later.",
  slow: "The signal is too weak for now. They go later.",
  busy: "The server asks to wait. They go later.",
  refused: "The server does not understand this version of the app. They go later.",
  "sign-in": "Sign in to send them; logging goes on without.",
  "other-user": "Another diver is signed in on this phone.",
};

const LONG_MS = 24 * 3_600_000; // a phone that holds the only copy for so long should not be the only place

let spoken = "";

export function drawOutbox(slate) {
  const words = says(slate);
  const line = byId("outbox-says");
  if (words !== spoken) line.textContent = words; // read aloud once for each change
  spoken = words;
  redraw(byId("outbox-more"), more(slate));
}

function says({ outbox, parked, kept, rows }) {
  const waiting = new Set(outbox.map((row) => row.record)).size;
  const look = new Set(parked.map((row) => row.record ?? row.op)).size;
  const parts = [];
  if (waiting) parts.push(`${waiting} ${STATES.here}, not sent yet.`, WHY[kept.sync?.kind] ?? "");
  else if (look === 0) parts.push(rows.length ? `All ${STATES.sent}.` : "Nothing to send.");
  if (outbox.some((row) => now() - Date.parse(row.made_at) > LONG_MS)) parts.push("Some have waited for more than a day: save them as a file too.");
  if (look) parts.push(`${count(look, "record")} ${look === 1 ? "needs" : "need"} a look.`);
  if (kept.last_sent) parts.push(`Last sent ${whenMoment(kept.last_sent)}.`);
  return parts.filter(Boolean).join(" ");
}

function more(slate) {
  const { user, outbox, parked, kept, others } = slate;
  const strangers = others.outbox.length + others.parked.length;
  const signIn = kept.sync?.kind === "sign-in" || !user;
  return [
    user && h("p", { class: "soft" }, `This phone keeps the log of ${user.name}.`),
    strangers > 0 && h("p", null, `${count(strangers, "change")} of another diver ${strangers === 1 ? "stays" : "stay"} on this phone until they sign in again.`),
    parked.length > 0 && h("p", null, h("a", { class: "button button-quiet", href: "/boat/log#needs-a-look" }, "See what needs a look")),
    h("div", { class: "row" },
      signIn && h("a", { class: "button", href: "/account/sign-in?next=/boat/today", id: "go-sign-in" }, "Sign in"),
      h("button", { type: "button", id: "send-now", click: () => sendNow({ asked: true }) }, "Send now"),
      outbox.length + parked.length > 0 && h("button", { type: "button", class: "button-quiet", id: "take-file", click: () => saveUnsent(slate) }, "Save unsent as a file"),
    ),
    drawInstall(),
  ];
}
