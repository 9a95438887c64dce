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
OF_LOOK = ["color-contrast-enhanced", "link-in-text-block", "target-size"]
# Whatever has 7 to 1 has 4.5 to 1 as well: the weaker rule would only measure all of it a second time.
ENHANCED = {"color-contrast": {"enabled": False}, "color-contrast-enhanced": {"enabled": True}}
# Where the system chooses the colours: axe still takes some of the page's own for what is seen.
NO_CONTRAST = {name: {"enabled": False} for name in ENHANCED}
# Only what is wrong is handed over: all that axe found right is ten times as long as the page itself.
RUN = """async (options) => {
  const { violations } = await axe.run(document, { resultTypes: ["violations"], ...options });
  return violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(" ")}`);
}"""


def violations(page: Page, looks: Iterable[str] = LOOKS, tags: list[str] | None = None) -> list[str]:
    """What axe finds on the open page: by every rule with these tags in the first look, then by those of a look."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(Axe().axe_script)
    found = []
    for nth, look in enumerate(looks):
        page.emulate_media(**LOOKS[look], reduced_motion="reduce")  # no colour is measured on its way to the next
        contrast = NO_CONTRAST if look == "forced colours" else ENHANCED
        options: dict[str, Any] = {"rules": contrast}
        if nth:
            options = {"runOnly": [name for name in OF_LOOK if contrast.get(name, {"enabled": True})["enabled"]]}
        elif tags:
            options["runOnly"] = tags
        found += [f"{look}: {one}" for one in page.evaluate(RUN, options)]
    return found
