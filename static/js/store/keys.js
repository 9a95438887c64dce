// Names in the phone's storage.

/** The stores that hold what belongs to divers. @type {StoreName[]} */
export const STORES = ["records", "outbox", "parked", "kept"];

/** The stores of feeds: logs of others and crews. @type {StoreName[]} */
export const FEED_STORES = ["feeds", "feed_rows", "feed_ops"];

/** Names of what is kept for each diver. */
export const keyOf = {
  feed: (id) => `feed:${id ?? ""}`,
  snapshot: (id) => `snapshot:${id ?? ""}`,
  safety: (id) => `safety:${id ?? ""}`, // who is named as safety diver for the deep dives of a day
  clocks: (id) => `clocks:${id ?? ""}`, // dives that are or were timed today
  person: (id) => `person:${id ?? ""}`, // the name of the diver's own log among feeds
  notPlanned: (id) => `not_planned:${id ?? ""}`,
};
