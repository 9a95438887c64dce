// What runs before the first frame, without imports.
//
// Day, night, or as the device is set. The choice is in a cookie, for pages that the server makes, and in localStorage,
// for the kept pages without anyone's data.
(() => {
  const CHOICES = ["day", "night"];
  const YEAR_S = 31536000;
  const root = document.documentElement;

  const kept = () => {
    try {
      return localStorage.getItem("theme");
    } catch {
      return null; // storage may be forbidden: the page then follows the device
    }
  };

  const show = (choice) => {
    if (CHOICES.includes(choice)) root.dataset.theme = choice;
    else delete root.dataset.theme;
  };

  const keep = (choice) => {
    const secure = location.protocol === "https:" ? "; Secure" : "";
    document.cookie = `theme=${choice}; Path=/; Max-Age=${YEAR_S}; SameSite=Lax${secure}`;
    try {
      localStorage.setItem("theme", choice);
    } catch { /* the cookie still has it */ }
  };

  const mark = () => {
    /** @type {NodeListOf<HTMLSelectElement>} */
    const selects = document.querySelectorAll("[data-theme-choice]");
    for (const select of selects) {
      select.value = root.dataset.theme ?? "device";
      select.closest("[hidden]")?.removeAttribute("hidden");
    }
  };

  const showKept = () => show(kept() ?? root.dataset.theme);

  // Follow a choice made in another window, or made before the diver came back to this page.
  const follow = () => {
    showKept();
    mark();
  };

  showKept();
  document.addEventListener("DOMContentLoaded", mark);
  addEventListener("storage", ({ key }) => key === "theme" && follow());
  addEventListener("pageshow", ({ persisted }) => persisted && follow());
  document.addEventListener("change", ({ target }) => {
    if (!(target instanceof HTMLSelectElement && target.matches("[data-theme-choice]"))) return;
    show(target.value);
    keep(target.value);
  });
})();

// A page that the worker has filled in (service_worker/first_view.js) shows that first. Its code comes behind the first
// frame: a script, then the page's module, and beside them all that the module imports.
(() => {
  const LONGEST_FRAME_MS = 1_000; // a page that nobody sees gets none
  let begun = false;

  const added = (tag, attributes) => document.head.append(Object.assign(document.createElement(tag), attributes));

  const begin = (addresses) => {
    if (begun) return;
    begun = true;
    const [labels, page, ...imported] = addresses;
    added("script", { src: labels, async: false });
    added("script", { src: page, async: false, type: "module" });
    for (const href of imported) added("link", { rel: "modulepreload", href });
    /** @type {HTMLTemplateElement} */
    const links = document.querySelector("template#late-links");
    if (links) document.head.append(links.content);
  };

  document.addEventListener("DOMContentLoaded", () => {
    const addresses = document.querySelector("meta[name=code]")?.getAttribute("content").split(" ");
    if (!addresses) return;
    requestAnimationFrame(() => setTimeout(() => begin(addresses)));
    setTimeout(() => begin(addresses), LONGEST_FRAME_MS);
  });
})();
