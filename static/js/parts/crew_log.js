// A short form to log a dive for another diver who allowed it: what was seen from the surface.
import { instant, localDay, localTime } from "../clock.js";
import { h } from "../ui/dom.js";
import { field, input, toggles } from "../ui/fields.js";
import { FIELDS, minutes, show } from "../ui/words.js";
import { depth, seconds } from "./dive_check.js";

const SIGNS = "log"; // the right to read the log with its signs

/**
 * @param {{ sheet: any }} slate whose words are used @param {any} turn @param {any} log the diver's feed
 * @param {(fields: any) => void} done
 */
export function logForm({ sheet }, turn, log, done) {
  const isTurned = turn.result === "turned";
  const says = h("div", { id: "log-for-says", role: "alert" });
  const words = (table) => Object.entries(table ?? {}).map(([code, one]) => [code, one.says]);
  const submit = (event) => {
    event.preventDefault();
    const data = new FormData(event.target);
    const { fields, faults } = fieldsOf(data, turn);
    says.replaceChildren(...faults.map((fault) => h("p", { class: "fault" }, fault)));
    if (faults.length === 0) done(fields);
  };
  return h("form", { id: "log-for", class: "sheet", novalidate: true, submit },
    h("h2", { tabindex: "-1" }, `Log this dive for ${log.name}`),
    h("p", null, `It goes into the log of ${log.name}, with your name. They look at it later.`),
    field("log-reached", FIELDS.reached_m ?? "Depth reached", input("log-reached", isTurned ? "" : show(turn.depth_m),
      { inputmode: "decimal" }), "Metres, as the diver or the dive computer says."),
    field("log-time", FIELDS.dive_s ?? "Dive time", input("log-time", tookOf(turn), { placeholder: "m:ss" })),
    toggles("radio", "log-effort", "Effort, as the diver says",
      [["", "Not said"], ...Array.from({ length: 10 }, (_, at) => [at + 1, String(at + 1)])], ""),
    isTurned && toggles("radio", "log-why", FIELDS.turned_why ?? "Why turned",
      [...words(sheet?.turned_whys), ["", "Not said"]], ""),
    log.rights.includes(SIGNS) && h("details", { open: ["hard", "rescue"].includes(turn.result), id: "log-signs-of" },
      h("summary", null, "Signs that were seen or told"), signs(sheet)), says,
    h("p", null, h("button", { class: "button-primary", id: "log-for-save" }, "Log it")));
}

function signs(sheet) {
  const offered = Object.entries(sheet?.signs ?? {}).filter(([, one]) => !one.replaced);
  return toggles("checkbox", "log-signs", "Signs: touch what happened", offered.map(([code, { says }]) =>
    [code, says]), [], { look: "signs" });
}

function tookOf({ began_at, ended_at, dive_s }) {
  if (began_at && ended_at) return minutes((Date.parse(ended_at) - Date.parse(began_at)) / 1000);
  return dive_s ? minutes(dive_s) : "";
}

function fieldsOf(data, turn) {
  const text = (name) => String(data.get(name) ?? "").trim();
  const [reached_m, dive_s] = [depth(text("log-reached")), seconds(text("log-time"))];
  const ms = Date.parse(turn.ended_at);
  const faults = [
    !(reached_m > 0) && "The depth reached must be in metres, like 40.",
    !(dive_s === null || dive_s > 0) && "The dive time must be like 2:05.",
  ].filter(Boolean);
  const fields = { date: localDay(ms), at: localTime(ms), surfaced_at: turn.ended_at, discipline: turn.discipline,
    role: turn.role, target_m: turn.depth_m, reached_m, dive_s, effort: Number(text("log-effort")) || null,
    signs: data.getAll("log-signs").map(String), note: "", logged_at: instant() };
  return { fields: text("log-why") ? { ...fields, turned_why: text("log-why") } : fields, faults };
}
