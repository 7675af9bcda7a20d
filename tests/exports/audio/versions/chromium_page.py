"""Opens a rehearsal page in Qt's Chromium, does what a user does, prints what came of it.

Run apart, as a program of its own: ``chromium_page.py FOLDER``.  JSON on standard output.
"""

import importlib.util
import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["QTWEBENGINE_DISABLE_SANDBOX"] = "1"
os.environ["QTWEBENGINE_CHROMIUM_FLAGS"] = (
    "--no-sandbox --mute-audio --autoplay-policy=no-user-gesture-required"
)

from PySide6.QtCore import QUrl
from PySide6.QtWebEngineCore import (
    QWebEnginePage,
    QWebEngineUrlRequestInfo,
    QWebEngineUrlRequestInterceptor,
)
from PySide6.QtWebEngineWidgets import QWebEngineView
from PySide6.QtWidgets import QApplication

PATIENCE_SEC = 20.0


class Requests(QWebEngineUrlRequestInterceptor):
    """Remembers what the page asks for."""

    def __init__(self) -> None:
        super().__init__()
        self.schemes: set[str] = set()

    def interceptRequest(self, info: QWebEngineUrlRequestInfo) -> None:  # noqa: N802
        self.schemes.add(info.requestUrl().scheme())


class Page(QWebEnginePage):
    """Remembers what the console says."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []

    def javaScriptConsoleMessage(  # noqa: N802
        self,
        level: QWebEnginePage.JavaScriptConsoleMessageLevel,
        message: str,
        line: int,
        source: str,
    ) -> None:
        self.said.append(f"{level} {message} {line} {source}")


class Browser:
    """One page in one window."""

    def __init__(self, app: QApplication, address: Path) -> None:
        self._app = app
        self.requests = Requests()
        self.page = Page()
        self.page.setUrlRequestInterceptor(self.requests)
        self.view = QWebEngineView()
        self.view.setPage(self.page)
        self.view.resize(1000, 700)
        self.view.show()
        loaded: list[bool] = []
        self.page.loadFinished.connect(loaded.append)
        self.page.load(QUrl.fromLocalFile(str(address)))
        self.until(lambda: bool(loaded))

    def until(self, done: Callable[[], bool], seconds: float = PATIENCE_SEC) -> bool:
        end = time.monotonic() + seconds
        while not done() and time.monotonic() < end:
            self._app.processEvents()
            time.sleep(0.01)
        return done()

    def ask(self, script: str) -> object:
        """The value of an expression in the page."""
        answers: list[object] = []
        self.page.runJavaScript(script, 0, answers.append)
        self.until(lambda: bool(answers))
        return answers[0] if answers else None

    def becomes(self, script: str) -> bool:
        """Whether an expression becomes true before patience ends."""
        return self.until(lambda: self.ask(script) is True)

    def axe(self) -> object:
        """What axe-core finds against WCAG, and how many of its rules were met."""
        found = importlib.util.find_spec("axe_core_python")
        assert found is not None
        assert found.submodule_search_locations
        script = Path(found.submodule_search_locations[0]) / "axe.min.js"
        self.ask(f"{script.read_text(encoding='utf-8')}; true")
        self.ask(
            "window.checked = null; axe.run().then(found => { window.checked = JSON.stringify("
            "{wrong: found.violations.map(each => each.id + ': ' + each.nodes[0].html),"
            " met: found.passes.length}) }); true"
        )
        self.becomes("window.checked !== null")
        return json.loads(str(self.ask("window.checked")))

    def key(self, key: str) -> None:
        """A key press where the focus is."""
        self.ask(
            "(document.activeElement || document.body).dispatchEvent(new KeyboardEvent("
            f"'keydown', {{key: {json.dumps(key)}, bubbles: true, cancelable: true}})); true"
        )


def main(folder: Path) -> None:
    """Look, choose, play, go from line to line, loop, shrink the window, lose the sound."""
    app = QApplication(sys.argv[:1])
    browser = Browser(app, folder / "index.html")
    found: dict[str, object] = {
        "title": browser.ask("document.title"),
        "buttons": browser.ask("document.querySelectorAll('[data-entry]').length"),
        "quiet": browser.ask("sound.paused && play.disabled && !sound.src"),
        "unnamed": browser.ask(
            "[...document.querySelectorAll('button, input')].filter(each => !each.innerText.trim()"
            ' && !document.querySelector(`label[for="${each.id}"]`)).length'
        ),
    }
    found["axe at first"] = browser.axe()
    browser.ask("document.querySelector('[data-entry=\"0\"]').click(); true")
    found["axe when chosen"] = browser.axe()
    found["chosen"] = browser.ask("!play.disabled && rows.children.length")
    browser.ask("document.activeElement.blur(); true")
    browser.key(" ")
    found["plays"] = browser.becomes("!sound.paused && sound.currentTime > 0.3")
    browser.key(" ")
    found["pauses"] = browser.becomes("sound.paused")
    browser.key("ArrowDown")
    browser.key("ArrowDown")
    current = "[...rows.children].findIndex(row => row.getAttribute('aria-current'))"
    found["line"] = browser.becomes(f"{current} >= 1")
    browser.key("l")
    found["loops"] = browser.ask("sound.loop && again.getAttribute('aria-pressed')")
    browser.view.resize(360, 640)
    found["narrow"] = browser.becomes(
        "innerWidth <= 360 && document.documentElement.scrollWidth <= innerWidth"
    )
    found["smallest button"] = browser.ask(
        "Math.min(...[...document.querySelectorAll('button')].map(each => each.offsetHeight))"
    )
    (folder / "sound").rename(folder / "lost")
    browser.ask("document.querySelector('[data-entry=\"1\"]').click(); true")
    browser.key(" ")
    found["trouble"] = browser.becomes("!trouble.hidden") and browser.ask("trouble.textContent")
    (folder / "lost").rename(folder / "sound")
    found["schemes"] = sorted(browser.requests.schemes)
    found["errors"] = browser.page.said
    print(json.dumps(found), flush=True)
    os._exit(0)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
