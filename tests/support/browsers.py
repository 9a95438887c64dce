"""Finds a browser for the tests: Playwright's own, else a Chromium or Chrome of the system."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Playwright, sync_playwright

# the first has no window at all: a third less work for the machine
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
# The last list of features counts: the first part is what Playwright itself turns off. Then what costs each window of
# a full Chromium more processor time than a page of ours, and nobody sees (the pages behind the address bar), and the
# brake on a worker that is being installed: three files at a time.
FEATURES_OFF = (
    "AimEnabled,AvoidCorsURLLoaderRestartOnRedirect,AvoidUnnecessaryBeforeUnloadCheckSync,"
    "DestroyProfileOnBrowserClose,HttpsFirstBalancedModeAutoEnable,HttpsUpgrades,LensOverlay,MediaRouter,"
    "NetworkTimeServiceQuerying,OptimizationHints,PaintHolding,PreconnectToSearch,TcpPortRandomizationWin,"
    "ThirdPartyStoragePartitioning,"
    "WebUIOmniboxPopup,WebUIOmniboxAimPopup,ThrottleInstallingServiceWorker"
)
ARGS = [
    f"--disable-features={FEATURES_OFF}",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
HOW = """No browser for the browser tests. Get one of these, then run the tests again:
  python -m playwright install chromium      (Playwright's own)
  apt-get install chromium-headless-shell    (Debian; elsewhere: chromium)
or name one: LINESLATE_TEST_BROWSER=/path/to/chrome"""


def browser_path(playwright: Playwright) -> str:
    """Return the executable to start; the error says how to get one."""
    own = playwright.chromium.executable_path
    found = [os.environ.get("LINESLATE_TEST_BROWSER"), own, *(shutil.which(name) for name in NAMES)]
    for path in found:
        if path and Path(path).exists():
            return path
    raise RuntimeError(HOW)


@contextmanager
def running_browser() -> Iterator[Browser]:
    """Start a browser without a window; it is closed at the end."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browser_path(playwright), args=ARGS)
        try:
            yield browser
        finally:
            browser.close()
