// The diver's own dives of today as dives of the crew's list: from their plan, each once, whichever phone adds them.
import { dayOf, expectedSeconds } from "../plan/lookups.js";
import { namedId } from "../plan/named_id.js";
import { pauseAfter } from "../reader/interval.js";
import { isOver } from "./dive_says.js";
import { surfacedOf } from "./pause_rows.js";

/**
 * The open dives of today's plan as {record, fields, index}; `index` is the place in the plan's day.
 * @param {Slate} slate @param {string} feed @param {string} person
 */
export function ownTurns(slate, feed, person) {
  const day = dayOf(slate.plan, slate.today);
  if (!day || !slate.sheet || isOver(slate)) return [];
  const counts = new Map();
  return day.dives.map((dive, index) => {
    const { discipline, role } = dive;
    const number = counts.get(`${role} ${discipline}`) ?? 0;
    counts.set(`${role} ${discipline}`, number + 1);
    const record = namedId("turn", feed, slate.today, person, role, discipline, number);
    return { record, index, dive, fields: fieldsOf(slate, day.dives, index, person) };
  }).filter(({ dive }) => dive.done === null && dive.target_m !== null);
}

function fieldsOf(slate, dives, index, person) {
  const { discipline, role, target_m } = dives[index];
  return { date: slate.today, person, discipline, role, depth_m: target_m, dive_s: takes(slate, dives[index]),
    pause_s: pauseBefore(slate, dives, index), fixed_at: null, pinned: null, safety: null, began_at: null,
    ended_at: null, result: null, reached_m: null, dive: null };
}

const takes = ({ sheet }, { discipline, target_m }) => expectedSeconds(sheet, discipline, target_m);

// The interval after the dive before it by the diver's own rules: after the last logged one, or the planned one.
function pauseBefore(slate, dives, index) {
  const before = dives[index - 1];
  if (before && before.done === null) {
    const dive_s = takes(slate, before);
    return dive_s === null ? null : seconds(slate, [{ reached_m: before.target_m, dive_s, surfaced_s: 0 }]);
  }
  const logged = surfacedOf(slate.sheet, slate.dives.filter(({ date }) => date === slate.today));
  return logged.length > 0 ? seconds(slate, logged) : 0;
}

function seconds({ sheet }, dives) {
  return Math.ceil(pauseAfter(sheet, dives)?.seconds ?? 0);
}
