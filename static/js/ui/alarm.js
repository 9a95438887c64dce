// What must not be missed.
import { byId, h, put } from "./dom.js";

/** Say what must not be missed; `role=alert` is for this alone. */
export function warn(words) {
  put(byId("alarm"), h("p", { class: "alarm" }, words));
}
