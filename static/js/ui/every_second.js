// Calls a function each second while the page is visible.

/**
 * Call at once, each second or as often as `each_ms` says, and when the page becomes visible again; returns the
 * function that stops it.
 */
export function everySecond(tick, each_ms = 1000) {
  const ifVisible = () => document.visibilityState === "visible" && tick();
  const timer = setInterval(ifVisible, each_ms);
  document.addEventListener("visibilitychange", ifVisible);
  window.addEventListener("pageshow", ifVisible);
  tick();
  return () => {
    clearInterval(timer);
    document.removeEventListener("visibilitychange", ifVisible);
    window.removeEventListener("pageshow", ifVisible);
  };
}
