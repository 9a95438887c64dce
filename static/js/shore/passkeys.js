// Passkeys: the browser makes or uses one when the person asks; the server says what it must sign.
/** @type {any} */
const add = document.getElementById("passkey-add");
/** @type {any} */
const use = document.getElementById("passkey-use");
const says = document.getElementById("passkey-says");

if (globalThis.PublicKeyCredential && navigator.credentials) {
  for (const button of [add, use]) if (button) button.closest("[data-passkeys]").hidden = false;
  add?.addEventListener("click", () => attempt(add, make));
  use?.addEventListener("click", () => attempt(use, signIn));
}

async function attempt(button, work) {
  button.disabled = true;
  says.textContent = "";
  try {
    const { next } = await work();
    location.assign(next);
  } catch (error) {
    // closing the browser's own question is no error
    says.textContent = error.name === "NotAllowedError" ? "Nothing was changed." : error.message;
    button.disabled = false;
  }
}

async function make() {
  const options = await ask("/passkeys/add-options");
  options.challenge = bytes(options.challenge);
  options.user.id = bytes(options.user.id);
  for (const known of options.excludeCredentials ?? []) known.id = bytes(known.id);
  const made = /** @type {any} */ (await navigator.credentials.create({ publicKey: options }));
  const response = {
    clientDataJSON: text(made.response.clientDataJSON),
    attestationObject: text(made.response.attestationObject),
  };
  const label = /** @type {any} */ (document.getElementById("passkey-label")).value;
  return ask("/passkeys/add", { label, credential: { ...sent(made), response } });
}

async function signIn() {
  const options = await ask("/passkeys/options");
  options.challenge = bytes(options.challenge);
  const found = /** @type {any} */ (await navigator.credentials.get({ publicKey: options }));
  const { clientDataJSON, authenticatorData, signature, userHandle } = found.response;
  const response = {
    clientDataJSON: text(clientDataJSON),
    authenticatorData: text(authenticatorData),
    signature: text(signature),
    userHandle: userHandle && text(userHandle),
  };
  return ask(use.dataset.address, { credential: { ...sent(found), response } });
}

function sent({ id, rawId, type }) {
  return { id, rawId: text(rawId), type, clientExtensionResults: {} };
}

async function ask(address, body = {}) {
  const token = /** @type {HTMLInputElement} */ (document.querySelector("[name=csrf_token]")).value;
  const headers = { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": token };
  const answer = await fetch(address, { method: "POST", headers, body: JSON.stringify(body) });
  const said = await answer.json();
  if (answer.ok) return said;
  throw new Error(said.error.faults.map((fault) => fault.says).join(" ") || said.error.says);
}

function bytes(base64url) {
  const plain = atob(base64url.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
}

function text(buffer) {
  const plain = btoa(String.fromCharCode(...new Uint8Array(buffer)));
  return plain.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}
