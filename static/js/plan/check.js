// The check at the line: which items there are today, and which of them were looked at.
import { BOAT } from "../labels.js";

const ITEMS = Object.entries(BOAT.check ?? {});

/**
 * The items of the check on a day, as {code, says, done, on, own}: the rulebook's and the diver's own. An item that
 * holds for the season is done by any day of it; `on` is that day.
 * @param {Pick<Slate, "rows" | "sheet">} slate @param {string} today
 */
export function itemsOf({ rows, sheet }, today) {
  const days = rows.filter((row) => row.kind === "day" && !row.deleted && !row.damaged).map((row) => row.fields)
    .filter(({ date }) => date <= today);
  const checked = days.find(({ date }) => date === today)?.checked ?? [];
  const inSeason = (code) => days.findLast(({ date, checked: some }) =>
    date >= (sheet?.first_day ?? date) && some?.includes(code));
  return [
    ...ITEMS.map(([code, { says, season }]) => {
      const on = season ? inSeason(code)?.date : null;
      return { code, says, done: checked.includes(code) || Boolean(on), on: on ?? null, own: false };
    }),
    ...ownItems(days).map((says) => ({ code: says, says, done: checked.includes(says), on: null, own: true })),
  ];
}

// Own items are those of the last day that has any: a new day begins with them.
function ownItems(days) {
  return days.findLast((day) => day.own_checks)?.own_checks ?? [];
}
