// Something that is drawn anew each second while the page is seen.

/** Call at once, each second, and whenever the page comes back to light; returns the function that stops it. */
export function everySecond(tick) {
  const seen = () => document.visibilityState === "visible" && tick();
  const timer = setInterval(seen, 1000);
  document.addEventListener("visibilitychange", seen);
  window.addEventListener("pageshow", seen);
  tick();
  return () => {
    clearInterval(timer);
    document.removeEventListener("visibilitychange", seen);
    window.removeEventListener("pageshow", seen);
  };
}
