// The alarm at the head of a page.
import { byId, h, put } from "./dom.js";

/** Show words that must not be missed; `role=alert` is used for these alone. */
export function warn(words) {
  put(byId("alarm"), h("p", { class: "alarm" }, words));
}
