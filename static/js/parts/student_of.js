// A student as their coach's phone knows them: the plan read from what they share, and what needs a look.
import { BOAT } from "../labels.js";
import { dayAfter } from "../clock.js";
import { read } from "../reader/ladder.js";
import { count } from "../ui/words.js";
import { dayOf } from "../plan/lookups.js";
import { completed } from "../plan/older_sheet.js";

const { "coach.silent_days": SILENT_DAYS = Infinity } = BOAT.numbers ?? {};
const WEEK = 7;

/**
 * The student of a shared log, in the shape of a slate; a sheet that cannot be read leaves the plan out.
 * @param {SharedFeed} feed @param {string} today
 */
export function studentOf(feed, today) {
  const log = feed.rows.map(({ record, kind, fields }) => /** @type {Dive} */ ({ ...fields, id: record, kind }));
  const dives = log.filter(({ kind }) => kind === "dive");
  const season = feed.snapshot?.season ?? null;
  const own = { feed, name: feed.name, rows: feed.rows, dives, today, season };
  const base = { ...own, user: null, sheet: null, plan: null };
  try {
    const sheet = feed.snapshot?.sheet ? completed(feed.snapshot.sheet) : null;
    return { ...base, sheet, plan: sheet && read(sheet, log, today), trouble: false };
  } catch (error) {
    console.error(error);
    return { ...base, trouble: true };
  }
}

/** The dives of the plan that are done, each with its day, the last one first. @param {Plan} plan */
export function judgedDives(plan) {
  return (plan?.days ?? []).flatMap(({ date, done }) => done.map((dive) => ({ ...dive, date }))).reverse();
}

/**
 * What a coach should look at, in words.
 * @param {{ plan: Plan, sheet: Sheet, dives: Dive[], today: string }} student
 */
export function needsLook({ plan, sheet, dives, today }) {
  if (!plan) return [];
  const deep = judgedDives(plan).filter(({ role }) => role === "deep");
  const other = deep.findIndex(({ verdict }) => verdict !== "hard");
  const hard = other < 0 ? deep.length : other;
  const silent = silentDays(plan, dives, today);
  return [
    plan.stand_down && plan.stand_down.why,
    hard >= sheet.verdicts.hard.run_limit && `${count(hard, "hard deep dive")} in a row`,
    silent >= SILENT_DAYS && `no dive logged for ${count(silent, "day")} of the season`,
  ].filter(Boolean);
}

// The days of the season up to now since the last dive, or since it began.
function silentDays({ days }, dives, today) {
  if (today > days.at(-1).date) return 0;
  const last = dives.reduce((latest, { date }) => (date > latest ? date : latest), "");
  return days.filter(({ date }) => date > last && date < today).length;
}

/**
 * The deepest clean dive of each week of the season so far, by discipline with goals.
 * @param {Plan} plan @param {string} today
 */
export function weeksOf(plan, today) {
  return Object.entries(plan.disciplines).map(([name, { goals }]) => ({
    name,
    goals: Object.values(goals).map(({ depth_m }) => depth_m),
    weeks: weekStarts(plan, today).map((date) => ({ date, depth_m: deepestOf(plan, name, date) })),
  })).filter(({ goals }) => goals.length > 0);
}

function weekStarts({ days }, today) {
  return days.filter(({ date }, at) => at % WEEK === 0 && date <= today).map(({ date }) => date);
}

function deepestOf(plan, name, from) {
  const depths = plan.days.filter(({ date }) => date >= from && date < dayAfter(from, WEEK))
    .flatMap(({ done }) => done.filter((dive) => dive.discipline === name && dive.verdict === "clean"))
    .map(({ reached_m }) => reached_m);
  return depths.length > 0 ? Math.max(...depths) : null;
}

/** The planned deep dives of the next days. @param {Plan} plan @param {string} today @param {number} most */
export function coming(plan, today, most) {
  return plan.days.filter(({ date }) => date > today)
    .flatMap(({ date, dives }) => dives.filter(({ role }) => role === "deep").map((dive) => ({ ...dive, date })))
    .slice(0, most);
}

/** The target of today that is still open, or null. @param {Plan} plan @param {string} today @returns {PlannedDive} */
export function openDeep(plan, today) {
  return dayOf(plan, today)?.dives.find(({ role, done }) => role === "deep" && done === null) ?? null;
}
