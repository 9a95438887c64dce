// Redraws the plan shortly after typing stops. Without script the button "Show the plan" does the same.
const WAIT_MS = 700;
// the server sets this header on its answer: a sign-in page must not appear in the preview
const FRAGMENT = "X-Fragment";

/** @type {HTMLFormElement} */
const form = document.querySelector("form[data-preview]");
const place = document.getElementById(form?.dataset.preview);
let timer = 0;
let request = null;

async function ask() {
  request?.abort();
  request = new AbortController();
  const typed = new FormData(form);
  typed.set("do", "preview");
  place.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(form.action, {
      method: "POST",
      body: typed,
      headers: { [FRAGMENT]: "plan" },
      signal: request.signal,
    });
    if (answer.headers.get(FRAGMENT)) show(await answer.text());
  } catch {
    // no signal, or a newer request: the plan shown stays
  } finally {
    place.removeAttribute("aria-busy");
  }
}

/** The fragment is made and escaped by the server's templates, as the whole page is. */
function show(text) {
  const parsed = new DOMParser().parseFromString(text, "text/html");
  place.replaceChildren(...parsed.body.childNodes);
}

form?.addEventListener("input", () => {
  clearTimeout(timer);
  timer = setTimeout(ask, WAIT_MS);
});
const isShown = form && (place.querySelector("table") || document.getElementById("faults"));
if (form && !isShown && form.elements["first_day"].value) ask();
