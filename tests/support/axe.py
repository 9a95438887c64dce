"""Asks axe about the page that is open, in every look that a phone can have."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

LIGHT: dict[str, Any] = {"color_scheme": "light", "contrast": "no-preference", "forced_colors": "none"}
LOOKS: dict[str, dict[str, Any]] = {
    "light": LIGHT,
    "dark": {**LIGHT, "color_scheme": "dark"},
    "more contrast": {**LIGHT, "contrast": "more"},
    "forced colours": {**LIGHT, "forced_colors": "active"},
}
# What a look can change: colours, and how large things are. All other rules read the elements, the same in each look.
CONTRAST, OTHERS_OF_LOOK = "color-contrast-enhanced", ["link-in-text-block", "target-size"]
# Whatever has 7 to 1 has 4.5 to 1 as well: the weaker rule would only measure all of it a second time. The stronger one
# is asked on its own, but not where the system chooses the colours: axe still takes some of the page's own for them.
NO_CONTRAST = {name: {"enabled": False} for name in ("color-contrast", CONTRAST)}
# By itself the stronger rule leaves all below the weaker one's bound to the weaker rule.
ALL_BELOW_7 = """() => Object.values(axe._audit.checks["color-contrast-enhanced"].options.contrastRatio)
  .forEach((bound) => delete bound.minThreshold)"""
# Only what is wrong is handed over: all that axe found right is ten times as long as the page itself.
RUN = """async ([options, isEach]) => {
  const context = isEach ? document : { include: [document], exclude: repeated() };
  const { violations } = await axe.run(context, { resultTypes: ["violations"], ...options });
  return violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(" ")}`);

  // What stands on the page before, in the same surroundings, but for its words and where it leads. No style sheet can
  // tell one from the other, so another look gives both the same colours and sizes.
  function repeated() {
    const [seen, found] = [new Set(), []];
    const walk = (parent, path) => [...parent.children].forEach((one) => {
      const here = `${path} in ${start(one)}`;
      if (seen.has(here + shape(one))) found.push(one);
      else walk(one, here);
      seen.add(here + shape(one));
    });
    walk(document.body, "");
    return found;
  }

  function shape(element) {
    const inside = [...element.childNodes].map((one) => one.nodeType === 1 ? shape(one) : one.data.trim() && "words");
    return `${start(element)}(${inside.join(" ")})`;
  }

  function start(element) {
    const { localName, attributes, checked, disabled, previousElementSibling: before } = element;
    const ignored = /^(id|for|href|name|value|datetime|title|data-record|aria-label|aria-labelledby|aria-describedby)$/;
    const own = [...attributes].filter(({ name }) => !ignored.test(name)).map(({ name, value }) => `${name}=${value}`);
    const near = [before?.localName, before?.className, element.matches(":last-child"), checked, disabled];
    return [localName, ...own, "after", ...near].join(" ");
  }
}"""


def violations(page: Page, looks: Iterable[str] = LOOKS, tags: list[str] | None = None) -> list[str]:
    """What axe finds on the open page: by every rule with these tags in the first look, then by those of a look.

    In the first look every element is read; what hangs on the look is measured once for those that are alike.
    """
    if not page.evaluate("'axe' in window"):
        page.evaluate(Axe().axe_script)
        page.evaluate(ALL_BELOW_7)
    found = []
    for nth, look in enumerate(looks):
        page.emulate_media(**LOOKS[look], reduced_motion="reduce")  # no colour is measured on its way to the next
        asked: list[tuple[dict[str, Any], bool]] = []
        if nth == 0:
            asked.append(({"rules": NO_CONTRAST, **({"runOnly": tags} if tags else {})}, True))
        names = [] if look == "forced colours" else [CONTRAST]
        names += OTHERS_OF_LOOK if nth else []
        asked.append(({"runOnly": names}, False))
        found += [f"{look}: {one}" for each in asked for one in page.evaluate(RUN, list(each))]
    return found
