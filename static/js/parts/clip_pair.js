// Two clips side by side, at the same moment of the kick, stepped and played together.
import { alignment, partOf } from "../plan/clip_frames.js";
import { byId, h, put } from "../ui/dom.js";
import { clipPlayer } from "./clip_player.js";

const SPEEDS = [["0.25", "¼"], ["0.5", "½"], ["1", "1"]];

/** Both players with what they share. @param {any[]} two as clip_open.js hands them */
export function clipPair(two) {
  const players = two.map((of) => clipPlayer(of.clip, of.name, { ...of, ended: () => atEnd() }));
  const [one, other] = players;
  const state = { playing: false, loop: false };
  const says = h("p", { id: "pair-says", role: "status" });
  const element = h("div", { id: "pair" },
    h("div", { class: "clip-pair" }, players.map((player, at) => h("section", { "aria-labelledby": `pair-head-${at}` },
      h("h2", { id: `pair-head-${at}` }, two[at].name), player.element, sameHere(player, at)))),
    h("div", { class: "sheet", role: "group", "aria-label": "Both clips", keydown: onKey },
      h("h2", null, "Both together"), says,
      h("div", { class: "clip-steps" },
        h("button", { type: "button", id: "both-back", click: () => step(-1) }, "Both back"),
        h("button", { type: "button", id: "both-play", class: "clip-play", click: toggle }, "Play both"),
        h("button", { type: "button", id: "both-on", click: () => step(1) }, "Both on")),
      h("div", { class: "toggle-row clip-speeds", role: "group", "aria-label": "Speed of both" }, SPEEDS.map(speed)),
      h("button", { type: "button", id: "both-loop", class: "button-quiet", "aria-pressed": "false", click: loop },
        "Loop")));
  Promise.all(players.map(({ ready }) => ready)).then(() => lay());
  return element;

  function speed([value, words]) {
    const change = () => players.forEach((player) => player.setSpeed(Number(value)));
    return h("label", { class: "toggle" },
      h("input", { type: "radio", name: "speed-both", value, checked: value === "1", change }), h("span", null, words));
  }

  function sameHere(player, at) {
    const click = () => {
      player.note({ phase_at: player.state.index });
      lay();
    };
    return h("button", { type: "button", id: `same-${at}`, class: "button-quiet", click }, "Same moment here");
  }

  function aligned() {
    return alignment(one.state.clip, other.state.clip, two.map(({ phases }) => phases));
  }

  // Show the same moment in both, and say how it is known.
  async function lay() {
    const found = aligned();
    put(says, found === null
      ? "Show the same moment of a kick in each clip, and touch \"Same moment here\" below it."
      : found.by === "kick" ? "Aligned by the kicks that were measured in both."
        : "Aligned at the moment that you marked in each.");
    other.state.pace = found?.pace ?? 1;
    if (found) await other.go(found.frame(one.state.index));
  }

  async function step(frames) {
    if (state.playing) await stop();
    const found = aligned();
    await one.step(frames);
    await (found ? other.go(found.frame(one.state.index)) : other.step(frames));
  }

  function toggle() {
    return state.playing ? stop() : play();
  }

  async function play() {
    if (one.state.index >= partOf(one.state.clip).last) await one.go(partOf(one.state.clip).first);
    await lay();
    state.playing = true;
    byId("both-play").textContent = "Stop both";
    await Promise.all(players.map((player) => player.play()));
  }

  async function stop() {
    state.playing = false;
    byId("both-play").textContent = "Play both";
    await Promise.all(players.map((player) => player.stop()));
    await lay();
  }

  // The first of them to end ends the round.
  async function atEnd() {
    if (!state.playing) return;
    await stop();
    if (!state.loop) return;
    await one.go(partOf(one.state.clip).first);
    await play();
  }

  function loop({ target }) {
    state.loop = !state.loop;
    target.setAttribute("aria-pressed", String(state.loop));
  }

  function onKey(event) {
    const frames = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!frames || event.target.matches("input")) return;
    event.preventDefault();
    step(frames);
  }
}
