// A page that the worker has filled in shows that first; its code comes after the first frame. See
// service_worker/first_view.js. No imports: it stands for all of them.
(() => {
  const LONGEST_FRAME_MS = 1_000; // a page that nobody sees gets none
  let begun = false;

  const begin = () => {
    if (begun) return;
    begun = true;
    const code = /** @type {HTMLTemplateElement} */ (document.getElementById("code"));
    const parts = document.importNode(code.content, true);
    for (const script of parts.querySelectorAll("script")) script.async = false; // in their order
    document.head.append(parts);
  };

  requestAnimationFrame(() => setTimeout(begin));
  setTimeout(begin, LONGEST_FRAME_MS);
})();
