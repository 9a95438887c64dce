// Keeps the screen on where the browser can, and says what is: a phone may refuse, and each hiding ends it.
let wish = false;
let lock = null;
let state = "off";
let tell = () => {};

/** "off" (not wanted), "held", "lost", "refused", or "cannot". */
export function awakeIs() {
  return state;
}

/** Whether the screen should stay on; `changed` is called when what is changes. */
export function keepAwake(wanted, changed) {
  tell = changed;
  if (wish === wanted) return;
  wish = wanted;
  if (wanted) ask();
  else letGo();
}

document.addEventListener("visibilitychange", ask);

/** Ask again: when the page is seen again, and in each touch. */
export async function ask() {
  if (!wish || lock || document.visibilityState !== "visible") return;
  if (!("wakeLock" in navigator)) return set("cannot");
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", lost);
    set("held");
  } catch {
    set("refused"); // a low battery, or a setting
  }
}

function lost() {
  lock = null;
  set(wish ? "lost" : "off");
}

function letGo() {
  set("off");
  lock?.release().catch((error) => console.error(error));
}

function set(now) {
  if (state === now) return;
  state = now;
  tell();
}
