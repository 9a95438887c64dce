// The phone's own position by its satellite receiver, which works without signal. It is never needed.
const PATIENCE_MS = 60_000; // a receiver that was off needs a while under open sky
const REFUSED = 1;
const LATE = 3;
const SAYS = {
  [REFUSED]: "This phone does not give its position to the app. It can be allowed in the browser's settings.",
  [LATE]: "No position came in time. Try again under open sky.",
};
const NONE = "This phone does not tell its position.";

/** Whether the phone gives its position without a question. */
export async function isAllowed() {
  try {
    return (await navigator.permissions.query({ name: "geolocation" })).state === "granted";
  } catch {
    return false; // some browsers do not tell
  }
}

/**
 * The position now, or why there is none; never rejects.
 * @returns {Promise<{ latitude?: number, longitude?: number, accuracy_m?: number, says?: string }>}
 */
export function askPosition() {
  return new Promise((resolve) => {
    if (!navigator.geolocation) return resolve({ says: NONE });
    const found = ({ coords: { latitude, longitude, accuracy } }) =>
      resolve({ latitude, longitude, accuracy_m: accuracy });
    const failed = ({ code }) => resolve({ says: SAYS[code] ?? NONE });
    const how = { enableHighAccuracy: true, maximumAge: 0, timeout: PATIENCE_MS };
    return navigator.geolocation.getCurrentPosition(found, failed, how);
  });
}
