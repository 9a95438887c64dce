// Where a diver stands on one ladder, and where a dive takes them. Twin of webapp/planner/reader/standing.py.
// A standing is {rung, clean, run, why, last, efforts, sent_down, back, back_clean, dived, is_set}; these functions
// return a new one and change none.
import { fill, nth } from "./sentences.js";

/** A standing at the beginning of a ladder or of a count. @param {Partial<Standing>} some @returns {Standing} */
export function standingAt(some) {
  return { rung: 0, clean: 0, run: 0, why: "", last: [], efforts: [], sent_down: [], back: null, back_clean: 0,
    dived: null, is_set: false, ...some };
}

/**
 * The clean dives in a row that this rung needs. From one rung above the shallowest that sent the diver down, every
 * rung needs what it needs from the best on.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Standing} now
 */
export function needed(sheet, ladder, now) {
  if (now.back !== null) return sheet.numbers.return_repeats;
  const { needs } = ladder.rungs[now.rung];
  if (now.sent_down.length === 0 || now.rung + 1 < Math.min(...now.sent_down)) return needs;
  const more = now.sent_down.includes(now.rung) ? sheet.numbers.more_after_down : 0;
  return Math.max(needs, ladder.repeats) + more;
}

/** The standing with its rung marked as one from which the diver had to step down. @param {Standing} now */
export function sentDown(now) {
  return { ...now, sent_down: [...now.sent_down, now.rung] };
}

/**
 * The standing after a dive on the plan that was clean, hard or turned; `assumed` words it as still to come.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Standing} before
 * @param {Deed} deed
 * @param {boolean} assumed
 * @returns {Standing}
 */
export function moved(sheet, ladder, before, deed, assumed) {
  const { words } = sheet;
  const depth = ladder.rungs[before.rung].depth_m;
  const now = { ...before, dived: before.rung, is_set: false };
  const said = { reached: deed.reached_m, depth };
  if (deed.is_outside && deed.verdict === "turned") return { ...now, why: fill(words.turned_outside, said) };
  if (!sheet.verdicts[deed.verdict].counts) return notClean(sheet, now, deed.verdict, said);
  if (deed.reached_m < depth - sheet.numbers.tolerance_m) return { ...now, run: 0, why: fill(words.short, said) };
  return counted(sheet, ladder, now, deed.effort, assumed ? "_if" : "");
}

/**
 * The standing this many rungs further up the line; counts and run begin anew, a way back ends.
 * @param {Standing} now
 * @param {number} steps
 * @param {string} why
 * @returns {Standing}
 */
export function lowered(now, steps, why) {
  const { sent_down, dived } = now;
  return standingAt({ rung: Math.max(0, now.rung - steps), why, sent_down, dived, is_set: true });
}

/**
 * The standing from which this ladder goes on after a stand-down.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Standing} now
 * @param {{ [name: string]: string }} values
 * @returns {Standing}
 */
export function resumed(sheet, ladder, now, values) {
  const { numbers } = sheet;
  const { depth_m: depth, resume } = ladder.rungs[now.rung];
  const start = ladder.rungs[resume].depth_m;
  const key = start > numbers.resume_share * depth ? "resume_lowest" : "resume";
  const said = { ...values, percent: numbers.resume_percent, depth, start };
  return lowered(now, now.rung - resume, fill(sheet.words[key], said));
}

/**
 * The standing on a ladder that a change of the season made anew: it goes on by depth.
 * @param {Ladder} before
 * @param {Ladder} after
 * @param {Standing} now
 * @returns {Standing}
 */
export function carried(before, after, now) {
  const depth = before.rungs[now.rung].depth_m;
  const over = (at) => (at === null ? null : rungAt(after, before.rungs[at].depth_m));
  const rung = over(now.rung);
  const back = over(now.back);
  const there = { ...now, rung, sent_down: now.sent_down.map(over), dived: over(now.dived),
    back: back !== null && back > rung ? back : null };
  if (after.rungs[rung].depth_m === depth) return there;
  return { ...there, clean: 0, run: 0, last: [], efforts: [] };
}

/**
 * The deepest rung that is no deeper than this; the lowest one when all are.
 * @param {Ladder} ladder
 * @param {number} depth_m
 */
export function rungAt({ rungs }, depth_m) {
  const deeper = rungs.findIndex((rung) => rung.depth_m > depth_m);
  return Math.max(0, (deeper < 0 ? rungs.length : deeper) - 1);
}

// The count begins anew; enough such dives lead one rung up the line.
/** @param {Sheet} sheet @param {Standing} now @param {string} verdict @param {any} said @returns {Standing} */
function notClean({ words, numbers, verdicts }, now, verdict, said) {
  const run = now.run + 1;
  const last = [...now.last, false].slice(-numbers.of_last);
  const bad = last.filter((clean) => !clean).length;
  if (run < verdicts[verdict].run_limit && bad < numbers.not_clean) {
    return { ...now, clean: 0, run, last, efforts: [], why: fill(words[verdict], said) };
  }
  const key = now.rung === 0 ? "lowest" : run >= bad ? "down" : "down_of";
  const why = fill(words[key], { ...said, count: Math.max(run, bad), of: last.length });
  return { ...lowered(sentDown(now), 1, why), is_set: false };
}

/** @param {Sheet} sheet @param {Ladder} ladder @param {Standing} now @param {number} effort @param {string} mood */
function counted(sheet, ladder, now, effort, mood) {
  const { words, numbers } = sheet;
  const { rungs } = ladder;
  const [clean, needs] = [now.clean + 1, needed(sheet, ladder, now)];
  const said = { nth: nth(clean, words), depth: rungs[now.rung].depth_m, left: needs - clean, beyond: ladder.beyond_m };
  const efforts = effort === null ? [] : [...now.efforts, effort].slice(-numbers.rising_dives);
  const stays = { ...now, clean, run: 0, last: [...now.last, true].slice(-numbers.of_last), efforts };
  if (clean < needs) return { ...stays, why: fill(words[`again${mood}`], said) };
  if (isRising(efforts, numbers.rising_dives)) {
    return { ...stays, clean: needs - 1, efforts: [], why: fill(words.rising, said) };
  }
  if (now.back !== null) {
    const far = Math.min(now.rung + numbers.return_rungs, now.back);
    return onTheWayBack(words, rungs, now, rungs[far].single ? now.rung + 1 : far, mood);
  }
  if (now.rung + 1 < rungs.length) {
    const step = rungs[now.rung + 1].step_m;
    const why = step === undefined ? fill(words[`up${mood}`], said) : fill(words[`up_short${mood}`], { ...said, step });
    return arrived(now, now.rung + 1, 0, why);
  }
  return { ...stays, why: fill(words[ladder.top + mood], said) };
}

/** @param {Words} words @param {Rung[]} rungs @param {Standing} now @param {number} rung @param {string} mood */
function onTheWayBack(words, rungs, now, rung, mood) {
  const said = { depth: rungs[now.rung].depth_m, back: rungs[now.back].depth_m };
  if (rung < now.back) return arrived(now, rung, 0, fill(words[`back${mood}`], said));
  const there = arrived(now, rung, now.back_clean, fill(words[`back_there${mood}`], said));
  return { ...there, back: null, back_clean: 0 };
}

/** @param {Standing} now @param {number} rung @param {number} clean @param {string} why @returns {Standing} */
function arrived(now, rung, clean, why) {
  return { ...now, rung, clean, run: 0, last: [], efforts: [], why };
}

function isRising(efforts, dives) {
  return efforts.length === dives && efforts.every((effort, at) => at === 0 || efforts[at - 1] < effort);
}
