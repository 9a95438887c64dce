// What a coach proposed for a day and the diver did not decline: it can only make the day easier.
// Twin of webapp/planner/reader/proposed.py.

// The depth that no dive of this discipline is to pass on a day; null when nobody proposed it.
/** @param {Said} said @param {string} name @returns {number} */
export function mostM(said, name) {
  const depths = capsOf(said, name).map(({ depth_m }) => depth_m);
  return depths.length > 0 ? Math.min(...depths) : null;
}

/**
 * Why a day is easy by the word of its diver or a coach, null when it is not. It is easy too when even the shallowest
 * deep dive that the ladder offers, `deep_m`, is deeper than proposed.
 * @param {Words} words @param {Said} said @param {string} name @param {number} deep_m @returns {string}
 */
export function easyWhy(words, said, name, deep_m) {
  if (said.easy) return words.easy_asked;
  const easy = said.proposed.filter(({ what }) => what === "easy");
  const found = easy.length > 0 ? easy : capsOf(said, name).filter((one) => one.depth_m < deep_m);
  return found.length > 0 ? reason(found) : null;
}

/** The reason of the shallowest depth that was proposed for a discipline. @param {Said} said @param {string} name */
export function capWhy(said, name) {
  const most = mostM(said, name);
  return reason(capsOf(said, name).filter(({ depth_m }) => depth_m === most));
}

/**
 * Make warm-ups and drills shallower that are deeper than proposed; the deep dive is so already.
 * @param {PlannedDive[]} dives @param {Said} said
 */
export function noDeeperThanProposed(dives, said) {
  for (const dive of dives) {
    const most = mostM(said, dive.discipline);
    if (most === null || dive.target_m <= most) continue;
    dive.target_m = most;
    dive.why = capWhy(said, dive.discipline);
  }
}

/** @param {Said} said @param {string} name */
function capsOf(said, name) {
  return said.proposed.filter(({ what, discipline }) =>
    what === "cap" && (discipline === null || discipline === name));
}

// What the proposals say, each with the name of who made it.
/** @param {Proposed[]} proposals */
function reason(proposals) {
  return proposals.map(({ says, by }) => (says ? `${says} (${by})` : by)).join("; ");
}
