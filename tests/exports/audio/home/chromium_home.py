"""Opens the page for home in Qt's Chromium, does what a family does, prints what came of it.

Run apart, as a program of its own: ``-m tests.exports.audio.home.chromium_home PAGE``.
"""

import json
import os
import sys
import time
from pathlib import Path

from PySide6.QtWidgets import QApplication

from tests.exports.audio.versions.chromium_page import Browser

STILL_SEC = 1.5


def to_the_end(browser: Browser) -> bool:
    """Let the sound reach its end."""
    browser.becomes("!sound.paused && sound.currentTime > 0")
    browser.ask("sound.currentTime = Math.max(sound.duration - 0.2, 0); true")
    return browser.becomes("over")


def main(page: Path) -> None:
    """Look, play the refrain, then the whole story through its stops to the end."""
    app = QApplication(sys.argv[:1])
    browser = Browser(app, page)
    browser.view.resize(360, 740)
    found: dict[str, object] = {
        "quiet": browser.ask("sound.paused && !sound.src && press.textContent === 'Play'"),
        "axe at first": browser.axe(),
        "marked": browser.ask(
            "[...document.querySelectorAll('.other')].slice(0, 2)"
            ".map(each => `${each.lang} ${each.dir}`).join(', ')"
        ),
    }
    browser.ask("choices.lastElementChild.click(); true")
    browser.ask("press.click(); true")
    found["plays"] = browser.becomes("!sound.paused && sound.currentTime > 0.2")
    found["stops"] = to_the_end(browser)
    until = time.monotonic() + STILL_SEC
    browser.until(lambda: time.monotonic() > until, 10)
    found["still"] = browser.ask("sound.paused && over && here === 0")
    found["said"] = browser.ask("shown.textContent")
    found["button"] = browser.ask("press.textContent")
    found["axe at a stop"] = browser.axe()
    found["narrow"] = browser.becomes(
        "innerWidth <= 360 && document.documentElement.scrollWidth <= innerWidth"
    )
    heights = "[...document.querySelectorAll('button')].map(each => each.offsetHeight)"
    found["smallest"] = browser.ask(f"Math.min(...{heights})")
    found["large"] = browser.ask("press.offsetHeight")
    browser.ask("press.click(); true")
    found["goes on"] = browser.becomes("!sound.paused && here === 1")
    warned = True
    for _ in range(40):
        to_the_end(browser)
        if browser.ask("last()"):
            break
        following = browser.ask("pieces()[here + 1].first")
        warned = warned and str(following or "") in str(browser.ask("shown.textContent"))
        browser.ask("press.click(); true")
    found["warned before the press"] = warned
    found["ended"] = browser.ask("press.textContent")
    found["requests"] = sorted(browser.requests.schemes - {"blob", "data"})
    found["errors"] = browser.page.said
    print(json.dumps(found), flush=True)
    os._exit(0)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
