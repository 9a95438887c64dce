// Look-ups in the plan and the ladder sheet, for pages.

/** One day of the plan, or null. */
export function dayOf(plan, day) {
  return plan?.days.find((one) => one.date === day) ?? null;
}

/** What the plan says of one logged dive: {verdict, says, flags}, or null when its day is outside the season. */
export function toldOf(plan, record) {
  for (const day of plan?.days ?? []) {
    const done = day.done?.find((one) => one.id === record);
    if (done) return done;
  }
  return null;
}

/** Seconds that a dive to this depth is expected to take, or null when it is no rung of the ladder. */
export function expectedSeconds(sheet, discipline, depth_m) {
  const rungs = sheet?.disciplines[discipline]?.rungs ?? [];
  return rungs.find((rung) => rung.depth_m === depth_m)?.expected_s ?? null;
}

/** How long a dive took as {seconds, rung_m}: as logged (rung_m null), else as the nearest rung expects, the deeper of two. */
export function takenSeconds(sheet, { discipline, reached_m, dive_s }) {
  if (dive_s !== null && dive_s !== undefined) return { seconds: dive_s, rung_m: null };
  const ladder = sheet.disciplines[discipline];
  const rungs = ladder ? ladder.rungs : Object.values(sheet.disciplines).flatMap((one) => one.rungs);
  const far = (rung) => Math.abs(rung.depth_m - reached_m);
  const nearest = rungs.reduce((best, rung) => (far(rung) <= far(best) ? rung : best));
  return { seconds: nearest.expected_s, rung_m: nearest.depth_m };
}

/** The address of the card of this dive, or null when its discipline has no ladder. */
export function cardOf(sheet, { discipline, target_m }) {
  return sheet?.disciplines[discipline] ? `/boat/card?discipline=${discipline}&depth=${target_m}` : null;
}
