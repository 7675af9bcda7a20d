"""What pages that play sound are made of: their files, and data for their scripts."""

import json

from tapscore.resources import resource_path


def page_file(folder: str, name: str) -> str:
    """A page's template, style or script, of a folder in ``resources/``."""
    return resource_path(f"{folder}/{name}").read_text("utf-8")


def for_script(data: object) -> str:
    """Plain data as a script of a page reads it: nothing in it ends the script or a line."""
    safe = json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
    return safe.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
