// What every boat page starts: sync, the line about what was sent, the worker and its updates.
import { BLOCKED, CHANGED, OUTDATED, hear } from "../store/news.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId } from "../ui/dom.js";

const LONGEST_FRAME_MS = 1_000;
const FIRST_WAIT_MS = 2_000;
const LONGEST_WAIT_MS = 60_000;
const LONGEST_TOUCH_MS = 3_000; // a finger that slid off the screen is never seen to lift
const TROUBLE = {
  [BLOCKED]: "Another tab of Lineslate has an older version open. Close it, then come back here.",
  [OUTDATED]: "A newer version of Lineslate is open in another tab. Reload this page. What you saved stays.",
};

let touch = Promise.resolve(); // while a finger or a mouse button is down

addEventListener("pointerdown", () => (touch = lifted()), { capture: true });

// Not needed for the first drawing: these files come while the diver reads what stands there.
const rest = () => Promise.all([
  import("../parts/outbox_line.js"),
  import("../sync/sync.js"),
  import("../parts/app_update.js"),
  import("../parts/install.js"),
]);

/**
 * Draw the page with `draw(slate)` now and after each change of what the phone keeps.
 * @param {(slate: Slate) => unknown} draw
 */
export async function startBoat(draw) {
  let slate = null;
  let drawFoot = null;
  const show = oneAtATime(async () => {
    try {
      slate = await readSlate();
      await touch; // a button that is drawn anew under the finger would never hear the touch
      const focusBack = focused();
      await draw(slate); // what comes below it must not move when the page is drawn later
      focusBack();
      drawFoot?.(slate);
    } catch (error) {
      console.error(error);
      byId("boat-foot").hidden = false;
      warn(error.name === "VersionError" ? TROUBLE[OUTDATED]
        : "This window cannot keep dives: its storage does not answer. Use another browser window, or paper.");
    }
  });
  hear((what) => (what === CHANGED ? show() : TROUBLE[what] && warn(TROUBLE[what])));
  await show();
  await drawn();
  await startRest();

  async function startRest(waitMs = FIRST_WAIT_MS) {
    try {
      const [{ drawOutbox }, { startSync }, { startUpdates }, { startInstall }] = await rest();
      drawFoot = drawOutbox;
      if (slate) drawFoot(slate);
      startSync();
      startUpdates();
      startInstall();
    } catch (error) {
      console.error(error); // on a first visit the signal may end in between: the phone keeps nothing of the app yet
      void signal(waitMs).then(() => startRest(Math.min(LONGEST_WAIT_MS, 2 * waitMs)));
    }
  }
}

// It may be back already, while a file was still waited for: then nothing tells of it any more.
function signal(waitMs) {
  return new Promise((resolve) => {
    addEventListener("online", resolve, { once: true });
    if (navigator.onLine) setTimeout(resolve, waitMs);
  });
}

// A form in use moves into the page that is drawn anew, and what moves loses the focus: typing would go nowhere.
function focused() {
  const had = /** @type {HTMLElement} */ (document.activeElement);
  return () => {
    if (had?.isConnected && document.activeElement === document.body) had.focus({ preventScroll: true });
  };
}

/**
 * What the diver came for stands first on a slow phone. A page that nobody sees gets no frame, and does not wait.
 * @returns {Promise<void>}
 */
function drawn() {
  return new Promise((resolve) => {
    if (document.visibilityState !== "visible") return resolve();
    requestAnimationFrame(() => setTimeout(resolve));
    setTimeout(resolve, LONGEST_FRAME_MS); // it may have gone dark meanwhile
  });
}

/** @returns {Promise<void>} when the finger is up and its click was heard, or the page scrolls with it */
function lifted() {
  return new Promise((resolve) => {
    for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => setTimeout(resolve), { once: true });
    setTimeout(resolve, LONGEST_TOUCH_MS);
  });
}

// A change during the drawing draws the page once more: older data never replaces newer data.
function oneAtATime(work) {
  let running = null;
  let again = false;
  const run = async () => {
    do {
      again = false;
      await work();
    } while (again);
    running = null;
  };
  return () => {
    if (running) again = true;
    else running = run();
    return running;
  };
}
