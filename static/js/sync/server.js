// One request to /sync, and what its answer means. Only the app's own answers count: a Wi-Fi sign-in page answers 200
// too.
const APP = "lineslate";
const PATIENCE_MS = 20_000;

/**
 * Post to /sync. Resolves, never rejects, to {kind, body?, says?, faults?, waitS?} with kind
 * "answer": the server's own envelope · "sign-in": sign in first · "too-much": send fewer operations · "slow": no
 * answer in
 * time · "busy": try later · "refused": not accepted, with the reason · "other-user": another diver is signed in ·
 * "no-server": no answer, or an answer of something else.
 * `sheetId` names the ladder sheet that the phone has: the answer then leaves the sheet out, as the signal may be weak.
 * `kinds` names the kinds of records that this app can read: the answer has no others.
 */
export async function post(request, sheetId, kinds) {
  try {
    const response = await fetch("/sync", {
      method: "POST",
      headers: {
        "Content-Type": "application/json",
        Accept: "application/json",
        ...(kinds && { "Lineslate-Kinds": kinds }),
        ...(sheetId && { "Lineslate-Sheet": sheetId }),
      },
      body: JSON.stringify(request),
      credentials: "same-origin",
      cache: "no-store",
      redirect: "error",
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    return judge(response, await readJson(response));
  } catch (error) {
    return { kind: error.name === "TimeoutError" ? "slow" : "no-server" };
  }
}

async function readJson(response) {
  const text = await response.text();
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function judge(response, body) {
  if (response.status === 413) return { kind: "too-much" };
  if (response.ok) return isEnvelope(body) ? { kind: "answer", body } : { kind: "no-server" };
  const error = body?.app === APP ? body.error : null;
  if (typeof error?.code !== "string") return { kind: "no-server" };
  const { code, says, faults } = error;
  if (response.status === 401) return { kind: "sign-in", says };
  if (code === "other_user") return { kind: "other-user", says };
  if (response.status === 400) return { kind: "refused", says, faults: faults ?? [] };
  return { kind: "busy", says, waitS: Number(response.headers.get("Retry-After")) || 0 };
}

function isEnvelope(body) {
  const lists = Array.isArray(body?.results) && Array.isArray(body?.changes);
  return body?.app === APP && lists && Number.isInteger(body.mark) && typeof body.user?.id !== "undefined";
}
