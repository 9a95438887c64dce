// What a day's record holds beside an easier day: the morning, the check at the line, conditions and gear.
import { BOAT } from "../labels.js";
import { conditionWords } from "./conditions_form.js";

/** Each of them as a line. @param {Fields} fields */
export function dayFacts(fields) {
  const items = Object.entries(BOAT.readiness ?? {}).filter(([item]) => fields[item])
    .map(([item, { says }]) => `${says.toLowerCase()} ${fields[item]}`);
  return [
    items.length > 0 && `Morning: ${items.join(", ")}`,
    fields.not_easy_why && `Kept the plan: ${fields.not_easy_why}`,
    fields.ate_at && `Last meal ${fields.ate_at}`,
    fields.body_note,
    fields.checked?.length > 0 && `Checked: ${fields.checked.map(checkName).join("; ")}`,
    Number.isFinite(fields.rpe) && `Whole day: ${fields.rpe} of 10`,
    Number.isFinite(fields.minutes) && `${fields.minutes} min in the water`,
    conditionWords(fields),
  ].filter(Boolean);
}

// Own items stand in the record as they were typed.
function checkName(code) {
  return BOAT.check?.[code]?.says ?? code;
}
