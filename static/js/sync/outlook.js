// Asks the server for the outlook, after a sync: it is calculated there. Whatever fails, the last answer stays.
import { localDay, now } from "../clock.js";
import { getKept } from "../store/db.js";
import { CHANGED, tell } from "../store/news.js";
import { keepOutlook, keptOutlook } from "../store/outlook.js";

const FORMAT = 1;
const PATIENCE_MS = 20_000;

let running = null;
let again = false;

/** One request at a time; a call meanwhile asks once more. @param {{ feed?: string | null }} [of] */
export function fetchOutlook({ feed = null } = {}) {
  again = true;
  running ??= (async () => {
    while (again) {
      again = false;
      await ask(feed).catch((error) => console.warn(error)); // no signal, or an answer of something else
    }
    running = null;
  })();
  return running;
}

/** @param {string | null} feed */
async function ask(feed) {
  const user = await getKept("user");
  if (!user || navigator.onLine === false) return;
  const { kept, student } = await keptOutlook(user, feed);
  if (feed && !student) return;
  const response = await fetch(address(user.id, feed), {
    headers: { Accept: "application/json", ...(kept && { "If-None-Match": `"${kept.id}"` }) },
    credentials: "same-origin", cache: "no-store", redirect: "error", signal: AbortSignal.timeout(PATIENCE_MS),
  });
  if (response.status !== 200) return;
  const text = await response.text();
  const id = idOf(text);
  if (id === null) return;
  await keepOutlook({ id: user.id, feed, answer: { id, text, at: now() } });
  tell(CHANGED);
}

// The answer names nobody: the server refuses the question when somebody else is signed in by now.
/** @param {number} user @param {string | null} feed */
function address(user, feed) {
  return `/outlook.json?${new URLSearchParams({ today: localDay(), user: String(user), ...(feed && { feed }) })}`;
}

// A Wi-Fi sign-in page answers 200 too, and a newer server may answer what this page cannot draw.
/** @param {string} text @returns {string | null} */
function idOf(text) {
  try {
    const { format, id } = JSON.parse(text);
    return format === FORMAT && typeof id === "string" ? id : null;
  } catch {
    return null;
  }
}
