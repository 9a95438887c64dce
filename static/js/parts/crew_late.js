// What a crew's list is to know of a dive: loaded by a phone in a crew; one that did not keep it goes on without.
import { read } from "../store/db.js";

/**
 * Do something with the dives of the crew's list; null without a crew, or when it fails.
 * @template T
 * @param {Diver} user @param {(turns: typeof import("./crew_turn.js")) => Promise<T>} work
 */
export async function withTurns(user, work) {
  try {
    return (await isInCrew(user)) ? await work(await import("./crew_turn.js")) : null;
  } catch (error) {
    console.error(error);
    return null;
  }
}

/**
 * The sites whose emergency plan somebody gave to a crew of this diver; none without a crew, or when it fails.
 * @param {Diver} user
 */
export async function sitesOfCrews(user) {
  try {
    return (await isInCrew(user)) ? await (await import("./crew_sites.js")).crewSites(user) : [];
  } catch (error) {
    console.error(error);
    return [];
  }
}

async function isInCrew(user) {
  const { feeds } = await read(["feeds"], (stores) => ({ feeds: stores.feeds.getAll() }));
  return feeds.some(({ kind, user: id }) => kind === "crew" && id === user?.id);
}
