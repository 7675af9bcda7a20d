"""Prints what the platform's accessibility bus (AT-SPI) says of a window: a JSON list of nodes.

Run inside a session bus by ``test_screen_reader.py``.  It asks over D-Bus alone, so that nothing
of Qt's or ours is between the program and what a screen reader gets.
"""

import json
import sys
import time
from typing import Any

from jeepney import (  # type: ignore[import-untyped]
    DBusAddress,
    Message,
    MessageType,
    Properties,
    new_method_call,
)
from jeepney.io.blocking import (  # type: ignore[import-untyped]
    DBusConnection,
    open_dbus_connection,
)

ACCESSIBLE = "org.a11y.atspi.Accessible"
MOST = 1500
LEAVES = {"cell", "label", "push button", "check box", "separator"}
"""Nothing lies in these, so it is not asked for."""
_TIMEOUT_SEC = 10
_MOST_LOOKS, _BETWEEN_SEC = 50, 0.1


class RefusedError(Exception):
    """The bus or the program answered with an error."""


def answered(bus: DBusConnection, message: Message) -> Any:
    """The first value of an answer.  Raises RefusedError."""
    answer = bus.send_and_get_reply(message, timeout=_TIMEOUT_SEC)
    if answer.header.message_type is MessageType.error:
        raise RefusedError(answer.body)
    return answer.body[0]


def nodes(bus: DBusConnection) -> list[dict[str, object]]:
    """Every node, the outer ones first: depth, role, name."""
    found: list[dict[str, object]] = []
    todo = [(0, "org.a11y.atspi.Registry", "/org/a11y/atspi/accessible/root")]
    while todo and len(found) < MOST:
        depth, service, path = todo.pop()
        node = DBusAddress(path, service, ACCESSIBLE)
        try:
            role = answered(bus, new_method_call(node, "GetRoleName"))
            _, name = answered(bus, Properties(node).get("Name"))
            below = [] if role in LEAVES else answered(bus, new_method_call(node, "GetChildren"))
        except RefusedError as error:
            print(error, file=sys.stderr)
            continue
        found.append({"depth": depth, "role": role, "name": name})
        todo += [(depth + 1, *each) for each in reversed(below)]
    return found


def main() -> None:
    """Print every node, once the window has no more of them than a moment before."""
    launcher = DBusAddress("/org/a11y/bus", "org.a11y.Bus", "org.a11y.Bus")
    with open_dbus_connection("SESSION") as session:
        address = answered(session, new_method_call(launcher, "GetAddress"))
    found: list[dict[str, object]] = []
    with open_dbus_connection(str(address)) as bus:
        for _ in range(_MOST_LOOKS):
            before, found = found, nodes(bus)
            if len(found) == len(before) and any(node["role"] == "cell" for node in found):
                break
            time.sleep(_BETWEEN_SEC)
    json.dump(found, sys.stdout)


if __name__ == "__main__":
    main()
