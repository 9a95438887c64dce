// What was typed on the dive form, turned into a record's fields, or into all its faults at once.
// The server's check is the strict one; this check shows a typing error while the diver still looks at the form.
import { instant, localDay, localMoment, localTime } from "../clock.js";
import { show } from "../ui/words.js";

const number = (text) => (/^-?\d+([.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : NaN);

/** Seconds of `2:05`, `2.05`, `2,05` or `125`; null for an empty text; NaN for anything else. */
export function seconds(text) {
  const typed = text.trim();
  if (typed === "") return null;
  const clock = /^(\d{1,2})[:.,' ](\d{1,2})$/.exec(typed);
  if (clock) return Number(clock[2]) < 60 ? Number(clock[1]) * 60 + Number(clock[2]) : NaN;
  return /^\d{1,4}$/.test(typed) ? Number(typed) : NaN;
}

/** Metres of `40`, `40.5` or `40,5`; null for an empty text; NaN for anything else. */
export function depth(text) {
  return text.trim() === "" ? null : number(text.trim());
}

/** Return {fields, faults}; `bounds` are the sheet's {depth_m: {min, max}, ...} where it brings them. */
export function check(typed, bounds = {}, before = null) {
  const faults = [];
  const fault = (field, says) => faults.push({ field, says });
  const fields = {
    date: typed.date,
    at: typed.at || null,
    surfaced_at: moment(typed, before),
    discipline: typed.discipline || null,
    role: typed.role || null,
    target_m: depth(typed.target_m),
    reached_m: depth(typed.reached_m),
    dive_s: seconds(typed.dive_s),
    effort: typed.effort === "" ? null : Number(typed.effort),
    signs: typed.signs,
    note: typed.note,
  };
  // fields that not every dive has
  if (typed.turned_why || before?.turned_why) fields.turned_why = typed.turned_why || null;
  if (!before) fields.logged_at = instant();
  const filledIn = typed.time_from === "expected" && fields.dive_s !== null;
  if (filledIn || before?.time_from) fields.time_from = filledIn ? "expected" : null;
  if (localMoment(typed.date, "12:00") === null) fault("date", "is missing: the day of the dive");
  else if (bounds.year && Number(typed.date.slice(0, 4)) < bounds.year.min)
    fault("date", `must be in the year ${bounds.year.min} or later`);
  else if (typed.date > localDay()) fault("date", "is in the future by this phone's clock");
  if (!fields.discipline) fault("discipline", "is missing");
  if (!fields.role) fault("role", "is missing");
  if (fields.reached_m === null) fault("reached_m", "is missing: how deep it was, in metres");
  measured(fields, "reached_m", "must be a depth in metres, like 40 or 40.5", bounds.depth_m, fault);
  measured(fields, "target_m", "must be a depth in metres, or nothing", bounds.depth_m, fault);
  measured(fields, "dive_s", "must be a time like 2:05, or seconds like 125", bounds.dive_s, fault);
  if (bounds.note && fields.note.length > bounds.note.max)
    fault("note", `is too long: at most ${bounds.note.max} characters`);
  return { fields, faults };
}

function measured(fields, name, says, bound, fault) {
  const value = fields[name];
  if (value === null) return;
  if (Number.isNaN(value) || value <= 0) fault(name, says);
  else if (bound && (value < bound.min || value > bound.max))
    fault(name, `must be from ${show(bound.min)} to ${show(bound.max)}`);
}

// The moment filled in is exact to the second; once the diver changes date or time, the typed one is used.
function moment(typed, before) {
  if (!typed.at) return null;
  const kept = before && before.date === typed.date && before.at === typed.at;
  if (kept) return before.surfaced_at;
  const { opened } = typed;
  if (opened && localDay(opened) === typed.date && localTime(opened) === typed.at) return instant(opened);
  const ms = localMoment(typed.date, typed.at);
  return ms === null ? null : instant(ms);
}
