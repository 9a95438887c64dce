// Tones by Web Audio: planned on the audio clock, not by a timer. A browser lets them sound only after a touch.
import { now } from "../clock.js";

const VOLUME = 0.9;
const EDGE_S = 0.01; // a tone that begins at full strength clicks
const STUCK_MS = 1000;
const DRIFT_S = 0.25; // a phone that slept stopped the audio clock: planned tones would come late

let context = null;
let touched = { ms: 0, at_s: -1 };
let planned = []; // the tones that will sound: {call, at_ms, hz, length_s}
let sounding = [];
let base = null; // {ms, at_s}: the same moment by both clocks

/** "on", "off" (a touch is needed), or "cannot". */
export function soundIs() {
  if (!("AudioContext" in window)) return "cannot";
  return context?.state === "running" ? "on" : "off";
}

/** Call in each touch: makes the sound, or brings it back after a locked screen. `changed` is told of each change. */
export function wakeSound(changed) {
  if (!("AudioContext" in window)) return;
  if (navigator.audioSession) navigator.audioSession.type = "playback"; // heard with the silent switch on
  if (isStuck()) drop();
  context ??= made(changed);
  touched = { ms: now(), at_s: context.currentTime };
  if (context.state !== "running") context.resume().then(changed, () => changed());
}

function made(changed) {
  const one = new AudioContext();
  one.onstatechange = changed;
  return one;
}

// After a call or a locked screen some phones never move their audio clock again.
function isStuck() {
  return context !== null && now() - touched.ms > STUCK_MS && context.currentTime === touched.at_s;
}

function drop() {
  context.onstatechange = null;
  context.close().catch((error) => console.error(error));
  context = null;
}

/** Plan these tones, {call, at_ms, hz, length_s}, in the place of all earlier ones. */
export function planTones(tones) {
  hush();
  planned = soundIs() === "on" ? tones.filter(({ at_ms }) => at_ms > now()) : [];
  if (planned.length === 0) return;
  base = { ms: now(), at_s: context.currentTime };
  const onItsClock = (at_ms) => base.at_s + (at_ms - base.ms) / 1000;
  sounding = play(context, planned.map(({ at_ms, ...tone }) => ({ ...tone, at_s: onItsClock(at_ms) })));
}

function hush() {
  for (const one of sounding) one.stop();
  sounding = [];
  planned = [];
}

/** The tones that are planned now: what a test reads without ears. */
export function plannedTones() {
  return planned;
}

/** Whether the audio clock fell behind: then the tones have to be planned anew. */
export function hasDrifted() {
  if (planned.length === 0 || context === null) return false;
  return Math.abs(context.currentTime - base.at_s - (now() - base.ms) / 1000) > DRIFT_S;
}

/** Give tones {at_s, hz, length_s} to any audio context, by its own clock; returns what can be stopped. */
export function play(any, tones) {
  return tones.map(({ at_s, hz, length_s }) => {
    const tone = any.createOscillator(), volume = any.createGain();
    tone.frequency.value = hz;
    volume.gain.setValueAtTime(0, at_s);
    volume.gain.linearRampToValueAtTime(VOLUME, at_s + EDGE_S);
    volume.gain.setValueAtTime(VOLUME, at_s + length_s - EDGE_S);
    volume.gain.linearRampToValueAtTime(0, at_s + length_s);
    tone.connect(volume).connect(any.destination);
    tone.start(at_s);
    tone.stop(at_s + length_s);
    return tone;
  });
}
