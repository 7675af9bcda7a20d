"""A screen of a usual size for windows that nobody sees; Qt's own has 800 x 800 pixels."""

import os
from pathlib import Path

SCREEN = Path(__file__).parents[1] / "data" / "screen.json"
if os.environ.get("QT_QPA_PLATFORM", "offscreen") == "offscreen":
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={SCREEN}"
