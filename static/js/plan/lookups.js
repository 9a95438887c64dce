// Look-ups in the plan and the ladder sheet, for pages.

/** One day of the plan, or null. @param {Plan} plan @param {string} day */
export function dayOf(plan, day) {
  return plan?.days.find(({ date }) => date === day) ?? null;
}

/**
 * The logged dive `record` with what the plan says of it: {verdict, says, flags}; null when its day is outside the
 * season.
 * @param {Plan} plan @param {string} record @returns {DoneDive}
 */
export function judgedDive(plan, record) {
  for (const day of plan?.days ?? []) {
    const judged = day.done?.find((dive) => dive.id === record);
    if (judged) return judged;
  }
  return null;
}


/**
 * The expected seconds of a dive to this depth, or null when the ladder has no such rung.
 * @param {Sheet} sheet
 * @param {string} discipline
 * @param {number} depth_m
 */
export function expectedSeconds(sheet, discipline, depth_m) {
  const rungs = sheet?.disciplines[discipline]?.rungs ?? [];
  return rungs.find((rung) => rung.depth_m === depth_m)?.expected_s ?? null;
}

/** The rung of the ladder at the target of a dive; undefined without one. @param {Sheet} sheet @returns {Rung} */
export function rungOf(sheet, { discipline, target_m }) {
  return sheet?.disciplines[discipline]?.rungs.find((rung) => rung.depth_m === target_m);
}

/**
 * How long a dive took, {seconds, rung_m}: as logged (rung_m is null), else the time of the nearest rung, of two the
 * deeper.
 * @param {Sheet} sheet
 * @param {Fields} dive
 */
export function takenSeconds(sheet, { discipline, reached_m, dive_s }) {
  if (dive_s !== null && dive_s !== undefined) return { seconds: dive_s, rung_m: null };
  const ladder = sheet.disciplines[discipline];
  const rungs = ladder ? ladder.rungs : Object.values(sheet.disciplines).flatMap((other) => other.rungs);
  const distance = (rung) => Math.abs(rung.depth_m - reached_m);
  const nearest = rungs.reduce((best, rung) => (distance(rung) <= distance(best) ? rung : best));
  return { seconds: nearest.expected_s, rung_m: nearest.depth_m };
}

/**
 * The address of the card of this dive, or null when its discipline has no ladder.
 * @param {Sheet} sheet
 * @param {{ discipline: string, target_m: number }} dive
 */
export function cardOf(sheet, { discipline, target_m }) {
  return sheet?.disciplines[discipline] ? `/boat/card?discipline=${discipline}&depth=${target_m}` : null;
}
