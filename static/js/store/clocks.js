// The dive clocks that a phone keeps: moments, on the disk at each touch, so that a flat battery loses no dive.
import { whenAll, write } from "./db.js";
import { keyOf } from "./keys.js";
import { CHANGED, tell } from "./news.js";

/**
 * Change the diver's list of clocks in one transaction; `change(list)` gives the new list.
 * @param {Diver} user @param {(clocks: any) => DiveClock[]} change
 */
export async function changeClocks(user, change) {
  const key = keyOf.clocks(user?.id);
  await write(["kept"], ({ kept }) => {
    whenAll({ list: kept.get(key) }, ({ list }) => void kept.put(change(list), key));
  });
  tell(CHANGED);
}
