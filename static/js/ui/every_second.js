// Calls a function each second while the page is visible.

/** Call at once, each second, and when the page becomes visible again; returns the function that stops it. */
export function everySecond(tick) {
  const ifVisible = () => document.visibilityState === "visible" && tick();
  const timer = setInterval(ifVisible, 1000);
  document.addEventListener("visibilitychange", ifVisible);
  window.addEventListener("pageshow", ifVisible);
  tick();
  return () => {
    clearInterval(timer);
    document.removeEventListener("visibilitychange", ifVisible);
    window.removeEventListener("pageshow", ifVisible);
  };
}
