// Reads the ladder sheet without signal: folds the log over it, look-ups and counting only. It holds no number of
// the trade. webapp/planner/reader/ladder.py is the authority; tests/browser/test_readers.py proves that both agree.

import { dateWords, fill, judge } from "./sheet.js";

export { dateWords, fill, intervals, judge, pauseAfter } from "./sheet.js";

const NEVER = -1000000;
const number = (day) => Date.parse(day) / 86400000; // days; the readers compare only differences
const iso = (n) => new Date(n * 86400000).toISOString().slice(0, 10);

/** Return the plan of this sheet with this log on this day; shape and sentences as webapp/planner/reader/ladder.py gives them. */
export function read(sheet, log, today) {
  const { words, numbers, verdicts, disciplines: ladders } = sheet;
  const nToday = number(today), nFirst = number(sheet.first_day), lastDay = sheet.days.at(-1).date;
  const now = {}, marks = {};
  for (const name in ladders) {
    now[name] = { rung: ladders[name].start, clean: 0, run: 0, why: ladders[name].start_why };
    marks[name] = [];
  }
  let known = null, lead = sheet.days[0].lead, next = null, stop = null, lmcN = NEVER, noDeepBefore = NEVER;
  let last = { n: NEVER, depth_m: 0, streak: 0 };
  const cleared = log.filter((record) => "clearance" in record).map((record) => number(record.clearance));
  const key = (dive) => [dive.date, dive.at || "", dive.id];
  const before = (a, b) => { const i = a.findIndex((part, at) => part !== b[at]); return i < 0 ? 0 : a[i] < b[i] ? -1 : 1; };
  const dives = log.filter((record) => !("clearance" in record)).sort((one, other) => before(key(one), key(other)));
  const byDay = dives.reduce((map, one) => map.set(one.date, [...(map.get(one.date) || []), one]), new Map());

  const rungOf = (name) => ladders[name].rungs[now[name].rung];
  const say = (name, values) => fill(words[name], values);
  const on = (n) => dateWords(iso(n), words);
  const isCleared = (n) => cleared.some((day) => stop.since < day && day <= n);
  const holds = (n) => stop !== null && !(n >= stop.until && isCleared(n));
  const stopValues = () => ({ what: words[`what_${stop.what}`], date: on(stop.since), until: on(stop.until) });
  const stopSays = (n) => say(isCleared(n) ? "stand_down_cleared" : "stand_down", stopValues());
  const spaced = (n, depth_m) => {
    if (n === last.n) last.depth_m = Math.max(last.depth_m, depth_m);
    else last = { n, depth_m, streak: n === last.n + 1 ? last.streak + 1 : 1 };
  };

  function kindOf(kind, n) {
    if (kind !== "dive") return [kind, words[kind]];
    if (holds(n)) return ["stand-down", stopSays(n)];
    if (n < noDeepBefore) return ["easy", say("easy_lmc", { until: on(noDeepBefore), date: on(lmcN) })];
    const depth = Math.max(rungOf(lead).depth_m, last.depth_m);
    const row = sheet.spacing.find((one) => one.to_m === null || depth <= one.to_m);
    if (n - last.n < row.min_days) return ["easy", say("easy_gap", { depth, days: row.min_days, date: on(last.n) })];
    if (n - last.n === 1 && last.streak >= row.max_in_a_row) return ["easy", say("easy_row", { count: last.streak, date: on(last.n) })];
    return ["deep", now[lead].why];
  }

  const dive = (discipline, role, target_m, repeat, repeats, why) => ({ discipline, role, target_m, repeat, repeats, why, done: null });
  const deep = (why) => dive(lead, "deep", rungOf(lead).depth_m, Math.min(now[lead].clean + 1, ladders[lead].repeats), ladders[lead].repeats, why);
  const several = (count, make) => Array.from({ length: count }, (_, at) => make(at + 1));

  function planned(kind) {
    if (kind !== "deep" && kind !== "easy") return [];
    const rung = rungOf(lead), drill = sheet.drill, easy = kind === "easy";
    const why = !drill || !easy ? words.drill : say("drill_easy", { percent: numbers.easy_percent, discipline: drill.discipline });
    const near = drill && drill.discipline in now ? rungOf(drill.discipline) : rung; // a drill near its rung would be a deep dive
    const depth = !drill || !easy ? rung.drill_m : Math.min(drill.easy_m, near.drill_m);
    const drills = !drill ? [] : several(drill.dives, (at) => dive(drill.discipline, "drill", depth, at, drill.dives, why));
    const warm = several(easy ? 0 : sheet.warm_ups, (at) => dive(lead, "warm-up", rung.warm_up_m, at, sheet.warm_ups, words.warm_up));
    return [...warm, ...(easy ? [] : [deep(now[lead].why)]), ...drills];
  }

  function climbed(name, verdict, reached, assumed) {
    const table = verdicts[verdict], ladder = ladders[name], { rung, clean, run } = now[name], depth = rungOf(name).depth_m;
    if (table.over !== null) return; // harmed() sees to the heavier verdicts
    if (table.counts && reached < depth - numbers.tolerance_m) now[name] = { rung, clean, run: 0, why: say("short", { reached, depth }) };
    else if (table.counts) {
      const mood = assumed ? "_if" : "", done = clean + 1, top = rung + 1 >= ladder.rungs.length;
      const nth = done < words.ordinals.length ? words.ordinals[done] : `${done}.`;
      const why = (name) => say(name + mood, { nth, depth, left: ladder.repeats - done });
      if (done < ladder.repeats) now[name] = { rung, clean: done, run: 0, why: why("again") };
      else now[name] = top ? { rung, clean: done, run: 0, why: why("top") } : { rung: rung + 1, clean: 0, run: 0, why: why("up") };
    } else if (run + 1 < table.run_limit) now[name] = { rung, clean, run: run + 1, why: say(verdict, { reached, depth }) };
    else now[name] = { rung: Math.max(0, rung - 1), clean: 0, run: 0, why: say(rung > 0 ? "down" : "lowest", { count: run + 1, depth }) };
  }

  function harmed(n, one, verdict) {
    const table = verdicts[verdict.name], name = one.discipline;
    if (table.no_deep_days) [lmcN, noDeepBefore] = [n, Math.max(noDeepBefore, n + table.no_deep_days + 1)];
    if (table.down && name in now && noDeepBefore > nFirst) now[name] = { rung: Math.max(0, now[name].rung - table.down), clean: 0, run: 0, why: say("lmc", { date: on(n), down: table.down }) };
    if (!table.stands_down) return;
    const at = Math.max(n, nFirst), held = holds(at), until = holds(n) ? Math.max(stop.until, n + verdict.days) : n + verdict.days;
    stop = { since: n, until: n + verdict.days, what: verdict.name, care: verdict.care };
    if (!held && holds(at)) for (const other in now) {
      const { depth_m: depth, resume } = rungOf(other), start = ladders[other].rungs[resume].depth_m;
      const key = start > numbers.resume_share * depth ? "resume_lowest" : "resume";
      now[other] = { rung: resume, clean: 0, run: 0, why: say(key, { ...stopValues(), percent: numbers.resume_percent, depth, start }) };
    }
    stop.until = until;
  }

  function noted(one, verdict, onPlan, before_m, out) {
    const flags = out.over !== null ? [words.after_over] : [];
    if (one.target_m !== null && one.reached_m >= one.target_m + numbers.deeper_m) {
      flags.push(say("deeper", { more: Math.round((one.reached_m - one.target_m) * 10) / 10, depth: one.target_m }));
    }
    if (one.role === "deep" && !onPlan) flags.push(words.off_plan);
    if (before_m && one.reached_m >= numbers.second_dive_share * before_m) flags.push(say("second_deep", { percent: numbers.second_dive_percent }));
    const { id, discipline, role, target_m, reached_m } = one;
    out.done.push({ id, discipline, role, target_m, reached_m, verdict: verdict.name, says: verdicts[verdict.name].says, flags, care: verdict.care });
    out.over = verdicts[verdict.name].over ?? out.over;
    const open = out.dives.find((plan) => plan.done === null && plan.role === role && plan.discipline === discipline);
    if (open && (onPlan || role !== "deep")) open.done = id;
    if (verdict.name === "clean" && discipline in marks) marks[discipline].push({ date: one.date, depth_m: Math.max(reached_m, target_m ?? 0), done: true });
  }

  function dived(n, some, out) {
    let tries = 0, before_m = 0, open = out !== null && out.kind === "deep";
    for (const one of some) {
      const verdict = judge(sheet, one), other = one.discipline in now ? one.discipline : lead;
      const onPlan = open && out.over === null && one.role === "deep" && one.discipline === lead && one.target_m !== null;
      if (out !== null) noted(one, verdict, onPlan, onPlan && tries ? 0 : before_m, out);
      if (one.role === "deep" || one.reached_m >= numbers.second_dive_share * rungOf(other).depth_m) {
        spaced(n, one.reached_m);
        before_m = Math.max(before_m, one.target_m ?? one.reached_m);
        if (out !== null && !onPlan) out.dives = out.dives.filter((plan) => !("again" in plan) || plan.done !== null);
      }
      harmed(n, one, verdict);
      if (!onPlan) continue;
      tries += 1;
      const calm = one.signs.length === 0 && (one.effort === null || one.effort < numbers.hard_effort);
      open = tries === 1 && verdict.name === "turned" && calm && one.reached_m < numbers.second_try_share * one.target_m;
      climbed(lead, verdict.name, one.reached_m, false);
      const why = () => say("second_try", { reached: one.reached_m, depth: one.target_m, percent: numbers.second_try_percent });
      if (open) out.dives.splice(out.dives.findIndex((plan) => plan.role === "deep") + 1, 0, { ...deep(why()), again: true });
    }
  }

  function ahead(n, out) {
    const still = out.dives.find((one) => one.role === "deep" && one.done === null), again = still && "again" in still;
    if (!still) return;
    if (last.n === n && !again) { // one deep dive a day, even when it was not the planned one
      out.dives.splice(out.dives.indexOf(still), 1);
      return;
    }
    next = next || { date: out.date, ...still };
    if (again) return; // a second try is offered, never assumed
    known = known || { ...now };
    spaced(n, still.target_m);
    marks[lead].push({ date: out.date, depth_m: still.target_m, done: false });
    climbed(lead, "clean", still.target_m, true);
  }

  function dayOf(one) {
    const n = number(one.date);
    lead = one.lead || lead;
    const [kind, why] = kindOf(one.kind, n);
    const out = { date: one.date, block: one.block, kind, why, dives: planned(kind), done: [], over: null };
    dived(n, byDay.get(one.date) || [], out);
    if (n >= nToday && out.over === null) ahead(n, out);
    return out;
  }

  function goalOf(ladder, some, name, depth) {
    const mark = some.find((one) => one.depth_m >= depth), reaches = Math.max(...some.map((one) => one.depth_m));
    const key = mark ? (mark.done ? "goal_done" : "goal_on") : depth > ladder.cap_m ? "goal_cap" : some.length ? "goal_not" : "goal_none";
    const says = say(key, { depth, goal: name.replace(/_m$/, ""), cap: ladder.cap_m, date: mark ? dateWords(mark.date, words) : "", reaches });
    return { depth_m: depth, on: mark ? mark.date : null, says };
  }

  function summary(name) {
    const ladder = ladders[name], { rungs } = ladder, at = (known || now)[name], some = marks[name];
    const goals = Object.fromEntries(ladder.goals.map(([goal, depth]) => [goal, goalOf(ladder, some, goal, depth)]));
    const reaches_m = some.length ? Math.max(...some.map((one) => one.depth_m)) : null;
    return { start_m: rungs[ladder.start].depth_m, rung_m: rungs[at.rung].depth_m, clean_on_rung: at.clean, reaches_m, goals };
  }

  function standDown() {
    if (!holds(nToday)) return null;
    return { since: iso(stop.since), until: iso(stop.until), needs_clearance: !isCleared(nToday), why: stopSays(nToday), care: stop.care };
  }

  for (const [day, some] of byDay) if (day < sheet.first_day) dived(number(day), some, null);
  const days = sheet.days.map(dayOf);
  for (const [day, some] of byDay) if (day > lastDay) dived(number(day), some, null);
  const disciplines = Object.fromEntries(Object.keys(ladders).map((name) => [name, summary(name)]));
  return { days, disciplines, next, stand_down: standDown() };
}
