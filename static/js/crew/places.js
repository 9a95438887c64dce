// Which dive is pinned to which place of the list.

/**
 * The place of each pinned dive among the dives that are not left out. Two pinned to one place: the second, by id,
 * takes the next one; a place behind the end of the list is the last one.
 * @param {{ pinned: number | null }[]} dives sorted by id @param {number[]} leftOut @returns {Map<number, number>}
 */
export function placesOf(dives, leftOut) {
  const pinned = [...dives.keys()].filter((at) => dives[at].pinned !== null && !leftOut.includes(at))
    .sort((one, other) => dives[one].pinned - dives[other].pinned || one - other);
  const places = [];
  for (const at of pinned) places.push(Math.max(1, dives[at].pinned, (places.at(-1) ?? 0) + 1));
  const last = dives.length - leftOut.length;
  return new Map(pinned.map((at, index) => [at, Math.min(places[index], last - (pinned.length - 1 - index))]));
}
