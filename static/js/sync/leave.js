// Removes the log from a phone that is handed on: all of it at once, and nothing unsent without the diver's agreement.
import { forgetClips } from "../store/clips.js";
import { whenAll, write } from "../store/db.js";
import { FEED_STORES, STORES } from "../store/keys.js";
import { forgetAll } from "../store/lists.js";
import { CHANGED, tell } from "../store/news.js";
import { post } from "./server.js";

const nameOf = (row) => row.counter ?? row.op; // a damaged row of the outbox may have lost its op

/**
 * The names of the changes that are only on this phone: those that wait and those that need a look, of every diver.
 */
export function onlyHere({ outbox, parked, others }) {
  return new Set([...outbox, ...parked, ...others.outbox, ...others.parked].map(nameOf));
}

/**
 * Remove every diver's log, plan and unfinished form, clips, and the lists of buddies. `agreed` names the unsent
 * changes that may be removed. Resolves to false, with nothing removed, when another change waits by now: another tab
 * may have saved a dive.
 */
export async function takeOff(agreed) {
  const done = await write([...STORES, ...FEED_STORES], (stores) => {
    let all = false;
    const found = {
      outbox: stores.outbox.getAll(), parked: stores.parked.getAll(), writes: stores.kept.get("writes"),
    };
    whenAll(found, ({ outbox, parked, writes }) => {
      all = [...outbox, ...parked].every((row) => agreed.has(nameOf(row)));
      if (!all) return;
      for (const name of [...STORES, ...FEED_STORES]) stores[name].clear();
      // The count goes on: a page that has not yet kept its drawing of this log must not find its number again.
      stores.kept.put((writes ?? 0) + 1, "writes");
    });
    return () => all;
  });
  if (done) await Promise.all([forgetAll(), forgetClips()]);
  tell(CHANGED);
  return done;
}

/** Whether the server still knows this browser: "in", "out", or "unknown" when it does not answer. Nothing is sent. */
export async function signedIn() {
  const { kind } = await post({});
  if (kind === "sign-in") return "out";
  return ["answer", "refused", "other-user"].includes(kind) ? "in" : "unknown";
}
