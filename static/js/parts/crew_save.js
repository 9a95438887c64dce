// What a touch on the crew's pages changes: it is on this phone, or the page says that it is not.
import { warn } from "../ui/alarm.js";
import { NOT_SAVED } from "../ui/words.js";

/** Do the work; resolves to whether it was saved. @param {() => Promise<unknown>} work */
export async function kept(work) {
  try {
    await work();
    return true;
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
    return false;
  }
}
