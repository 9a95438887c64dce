// The dive of today's crew list that was timed or logged on another page: which it is, and what the list is told of it.
import { instant } from "../clock.js";
import { namedId } from "../plan/named_id.js";
import { joined } from "../store/feed_fold.js";
import { readFeeds, saveIn } from "../store/feeds.js";
import { startOf } from "../timing/dive_clock.js";

const NEAR_MS = 3_600_000; // a moment that is typed later is not exact

/** The id of the record of this dive: whoever logs it makes the same record. @param {string} turn */
export const diveOf = (turn) => namedId("dive", turn);

/**
 * The dive of the list that this dive is, with the fields to log it by: what another has logged of it stays.
 * @param {Slate} slate @param {Fields} fields @param {string} [clock] whose clock timed it
 */
export async function turnToLog(slate, fields, clock) {
  if (fields.date !== slate.today) return null;
  const ms = Date.parse(fields.surfaced_at ?? "");
  const ended = ({ ended_at }) => ended_at && !(Math.abs(Date.parse(ended_at) - ms) > NEAR_MS);
  const turn = await find(slate, { ...fields, id: clock, isOwn: true, ms }, [ended, running, coming]);
  if (!turn) return null;
  const dive = diveOf(turn.record);
  const known = slate.rows.find(({ record, deleted, damaged }) => record === dive && !deleted && !damaged);
  return { ...turn, dive, logs: known ? joined(known.fields, fields) : fields };
}

/** Tell the list that its dive was logged. @param {Slate} slate @param {any} turn of `turnToLog` */
export function tellLogged({ user }, { feed, record, dive, logs, began_at, ended_at }) {
  const { surfaced_at, dive_s, reached_m } = logs;
  const ends = ended_at ?? later(surfaced_at ?? instant(), began_at);
  const begins = began_at ?? instant(Date.parse(ends) - (dive_s ?? 0) * 1000);
  /** @type {any} */
  const fields = { began_at: ended_at ? began_at : begins, ended_at: ends, reached_m, dive };
  return saveIn({ feed, kind: "turn", record, fields, user });
}

/**
 * Tell the list that a timed dive ended, or goes on after a touch by mistake.
 * @param {Slate} slate @param {any} before the clock @param {any} after
 */
export async function tellClock(slate, before, after) {
  const { id, name, discipline, role, target_m, surfaced_ms } = after;
  const dive = { id, isOwn: !name, discipline, role, target_m, ms: surfaced_ms ?? before.surfaced_ms };
  const ended_at = instant(dive.ms);
  const sameEnd = (turn) => turn.ended_at === ended_at && !turn.result;
  const noted = (turn) => turn.ended_at > instant(startOf(after)) && turn.began_at < ended_at; // by somebody else
  const turn = await find(slate, dive, surfaced_ms ? [noted, running, coming] : [sameEnd]);
  if (!turn || Boolean(turn.ended_at) === Boolean(surfaced_ms)) return;
  const began_at = turn.began_at ?? instant(Math.min(startOf(after), surfaced_ms));
  /** @type {any} */
  const fields = surfaced_ms ? { began_at, ended_at: later(ended_at, began_at) } : { ended_at: null };
  await saveIn({ feed: turn.feed, kind: "turn", record: turn.record, fields, user: slate.user });
}

const later = (one, other) => (other && other > one ? other : one);
const running = ({ began_at, ended_at }) => Boolean(began_at) && !ended_at;
// A dive that is to come is this dive only at the depth that was planned: it could be one more of the same kind.
const coming = ({ began_at, ended_at, depth_m }, { target_m }) => !began_at && !ended_at && depth_m === target_m;

// The dive of this clock, or the diver's own of this kind: the first state that fits, the nearest depth, then moment.
async function find(slate, dive, states) {
  const { person, crews } = await readFeeds(slate.user);
  const all = crews.flatMap(({ feed, rows }) => rows
    .filter(({ kind, fields }) => kind === "turn" && /** @type {any} */ (fields).date === slate.today)
    .map(({ record, fields }) => /** @type {any} */ ({ ...fields, feed, record })));
  const timed = all.find(({ record }) => record === dive.id);
  if (timed || !dive.isOwn) return timed ?? null;
  const open = all.filter((turn) => turn.person === person && turn.discipline === dive.discipline
    && turn.role === dive.role && !isInLog(slate, turn));
  for (const state of states) {
    const fit = open.filter((turn) => state(turn, dive)).sort((one, other) => nearer(dive, one, other));
    if (fit.length > 0) return fit[0];
  }
  return null;
}

function isInLog({ rows }, { record, dive }) {
  const id = diveOf(record);
  return Boolean(dive && dive !== id) || rows.some((row) => row.record === id && !row.deleted);
}

function nearer({ target_m, ms }, one, other) {
  const far = ({ depth_m }) => Math.abs(depth_m - (target_m ?? depth_m));
  const away = ({ ended_at }) => (ended_at && ms ? Math.abs(Date.parse(ended_at) - ms) : 0);
  return far(one) - far(other) || away(one) - away(other) || (one.record < other.record ? -1 : 1);
}
