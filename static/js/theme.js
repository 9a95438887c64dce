// Day, night, or as the device is set. The choice is in a cookie, for pages that the server makes, and in localStorage,
// for the kept pages without anyone's data. No imports: this must run before the first paint.
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
    for (const select of document.querySelectorAll("[data-theme-choice]")) {
      select.value = root.dataset.theme ?? "device";
      select.closest("[hidden]")?.removeAttribute("hidden");
    }
  };

  show(kept() ?? root.dataset.theme);
  document.addEventListener("DOMContentLoaded", mark);
  document.addEventListener("change", (event) => {
    if (!event.target.matches("[data-theme-choice]")) return;
    show(event.target.value);
    keep(event.target.value);
  });
})();
