// The last drawing of Today says day or night as it was when it was made: after another choice the worker must not open
// the app with it. Shore pages have the choice; theme.js shows and keeps it.
import { forgetFirstView } from "../store/first_view.js";

document.addEventListener("change", ({ target }) => {
  if (!(target instanceof HTMLSelectElement && target.matches("[data-theme-choice]"))) return;
  forgetFirstView().catch(() => null); // no stores, no drawing
});
