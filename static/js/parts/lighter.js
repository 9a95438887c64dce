// Whether a change makes a dive's result lighter: then it needs a reason, so that no stand-down ends silently.
import { judge } from "../reader/verdict.js";

/**
 * Whether the verdict gets lighter, or a sign goes that ends or limits a day; `after` is null when the dive is deleted.
 * Without a sheet each sign that goes counts. Twin of webapp/actions/lighter.py.
 * @param {Sheet} sheet @param {Fields} before @param {Fields} after
 */
export function isLighter(sheet, before, after) {
  const left = after?.signs ?? [];
  const gone = (before.signs ?? []).filter((code) => !left.includes(code));
  if (!sheet) return gone.length > 0;
  return rank(sheet, after) < rank(sheet, before) || gone.some((code) => isHeavy(sheet, sheet.signs[code]));
}

function rank(sheet, dive) {
  if (!dive) return sheet.verdicts.clean.rank;
  const signs = dive.signs.filter((code) => code in sheet.signs); // an older sheet may not know all
  return sheet.verdicts[judge(sheet, { ...dive, signs }).name].rank;
}

/** @param {Sheet} sheet @param {Sign} sign */
function isHeavy(sheet, sign) {
  return !sign || Boolean(sheet.verdicts[sign.verdict].over || sign.over || sign.most_m);
}
