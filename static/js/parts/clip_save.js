// Saves the figures of a clip as a record of the log; the picture and the marks stay on the phone.
import { TECHNIQUE } from "./clip_words.js";
import { save } from "../store/outbox.js";
import { STATES } from "../store/states.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put } from "../ui/dom.js";
import { field, input } from "../ui/fields.js";
import { DISCIPLINES, NOT_SAVED } from "../ui/words.js";

const KIND = "measure";
let saving = false; // wet fingers touch twice

/** The diver's own earlier figures of the same kind, oldest first. @param {Slate} slate @param {Clip} clip */
export function earlierOf(slate, clip) {
  return slate.rows.filter(({ kind, fields, record, deleted, damaged }) => kind === KIND && !deleted && !damaged
    && record !== clip.measured && /** @type {any} */ (fields).style === clip.style && fields.date <= clip.date);
}

/** @param {import("./clip_player.js").Player} player @param {any} about */
export function saveForm(player, { slate, figures, by_phase, measureAgain, length_m, typed }) {
  const clip = player.state.clip;
  const dive = slate.dives.find(({ id }) => id === clip.dive);
  const again = ({ target }) => {
    const metres = Number(target.value.trim().replace(",", "."));
    if (metres > 0) measureAgain(metres);
  };
  const submit = (event) => {
    event.preventDefault();
    keep(player, slate, { figures, by_phase }, dive);
  };
  return h("form", { id: "save-figures", novalidate: true, submit },
    field("length_m", "Known length, in metres", input("length_m", length_m, { inputmode: "decimal", change: again }),
      "From the upper to the lower mark on the line. Speeds and the Strouhal number need it."),
    clip.who ? h("p", { id: "of-other" }, TECHNIQUE.others) : [
      !dive && field("figure-discipline", "Discipline", h("select", { id: "figure-discipline" },
        Object.entries(DISCIPLINES).map(([code, words]) => h("option", { value: code }, `${code}, ${words}`)))),
      field("figure-note", "Note", input("figure-note", typed, { maxlength: 500 })),
      h("p", { class: "actions" }, h("button", { class: "button-primary", id: "save-figures-now" },
        clip.measured ? "Save the figures again" : "Save the figures")),
    ],
    h("div", { id: "figures-saved", role: "status" }));
}

async function keep(player, slate, { figures, by_phase }, dive) {
  const clip = player.state.clip;
  if (clip.who) return put(byId("figures-saved"), h("p", null, TECHNIQUE.others));
  if (saving) return;
  saving = true;
  const { tracks } = clip;
  const round = (number) => Math.round(number * 100) / 100;
  const exact = (number) => Math.round(number * 10_000) / 10_000;
  const fields = /** @type {any} */ ({
    date: clip.date, dive: clip.dive, discipline: dive?.discipline ?? byId("figure-discipline").value,
    style: clip.style, clip_s: round(tracks.at(-1).t_s - tracks[0].t_s), fps: round(clip.fps),
    smoothing_hz: TECHNIQUE.number.smoothing_hz.value, note: byId("figure-note").value.trim(),
    figures: Object.fromEntries(figures.map(({ code, value, error }) =>
      [code, { value: exact(value), error: exact(error ?? 0) }])),
    ...(by_phase ? { by_phase } : {}),
  });
  try {
    const record = await save({ kind: KIND, record: clip.measured ?? undefined, fields, user: slate.user?.id ?? null });
    player.note({ measured: record });
    put(byId("figures-saved"), h("p", { class: "saved" }, `The figures are ${STATES.here}. `,
      h("a", { href: "/boat/log" }, "To the log")));
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  } finally {
    saving = false;
  }
}
