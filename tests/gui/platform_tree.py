"""Prints what the platform's accessibility bus (AT-SPI) says of a window: a JSON list of nodes.

Run inside a session bus by ``test_screen_reader.py``.  It asks with ``dbus-send`` alone, so that
nothing of Qt's or ours is between the program and what a screen reader gets.
"""

import json
import re
import subprocess
import sys

ACCESSIBLE = "org.a11y.atspi.Accessible"
MOST = 1500
LEAVES = {"cell", "label", "push button", "check box", "separator"}
"""Nothing lies in these, so it is not asked for."""
_STRING = re.compile(r'string "(.*?)"\s*$', re.MULTILINE | re.DOTALL)
_CHILD = re.compile(r'string "(.*?)"\s+object path "(.*?)"')


def sent(bus: tuple[str, ...], service: str, path: str, method: str, *given: str) -> str:
    """What a method answers, as dbus-send prints it; raises CalledProcessError for an error."""
    return subprocess.run(
        ["dbus-send", *bus, "--print-reply", f"--dest={service}", path, method, *given],
        capture_output=True,
        text=True,
        check=True,
        timeout=10,
    ).stdout


def main() -> None:
    """Print every node: depth, role, name."""
    answer = sent(("--session",), "org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus.GetAddress")
    address = _STRING.search(answer)
    assert address is not None
    bus = (f"--bus={address[1]}",)
    found: list[dict[str, object]] = []
    todo = [(0, "org.a11y.atspi.Registry", "/org/a11y/atspi/accessible/root")]
    while todo and len(found) < MOST:
        depth, service, path = todo.pop()
        try:
            role = _STRING.search(sent(bus, service, path, f"{ACCESSIBLE}.GetRoleName"))
            name = _STRING.search(
                sent(
                    bus,
                    service,
                    path,
                    "org.freedesktop.DBus.Properties.Get",
                    f"string:{ACCESSIBLE}",
                    "string:Name",
                )
            )
            leaf = role is not None and role[1] in LEAVES
            answer = "" if leaf else sent(bus, service, path, f"{ACCESSIBLE}.GetChildren")
            below = _CHILD.findall(answer)
        except subprocess.CalledProcessError as error:
            print(error.stderr, file=sys.stderr)
            continue
        found.append({"depth": depth, "role": role and role[1], "name": name and name[1]})
        todo += [(depth + 1, *each) for each in reversed(below)]
    json.dump(found, sys.stdout)


if __name__ == "__main__":
    main()
