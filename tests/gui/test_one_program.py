"""A story that is double-clicked opens in the program that runs already."""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtNetwork import QLocalServer, QLocalSocket
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui import one_program
from tapscore.gui.one_program import TAKEN, Door, OpenedByTheSystem, handed_over, usual_place

HAND_OVER = """
import sys
from pathlib import Path
from tapscore.gui import one_program
from tapscore.gui.one_program import handed_over
one_program.LONGEST_MS = 30_000
path = Path(sys.argv[2]) if len(sys.argv) > 2 else None
sys.exit(0 if handed_over(path, sys.argv[1]) else 5)
"""


ANSWER = """
import socket, sys, time
connection, _ = socket.socket(fileno=int(sys.argv[1])).accept()
print(connection.makefile().readline())
for part in sys.argv[2:]:
    connection.sendall(part.encode())
    time.sleep(0.05)
"""
"""Another program, since Qt keeps Python to itself while it waits."""


def start(place: str, *more: str) -> "subprocess.Popen[bytes]":
    return subprocess.Popen([sys.executable, "-c", HAND_OVER, place, *more])


def ended(qtbot: QtBot, started: "subprocess.Popen[bytes]") -> int:
    qtbot.waitUntil(lambda: started.poll() is not None, timeout=60_000)
    return int(started.returncode)


def test_a_second_start_hands_its_story_over(qtbot: QtBot, tmp_path: Path) -> None:
    opened: list[Path | None] = []
    door = Door(str(tmp_path / "state" / "door"), opened.append)
    story = tmp_path / "Größe & 学校.tapscore"
    assert ended(qtbot, start(str(tmp_path / "state" / "door"), str(story))) == 0
    assert ended(qtbot, start(str(tmp_path / "state" / "door"))) == 0
    assert opened == [story, None]
    door.close()
    assert ended(qtbot, start(str(tmp_path / "state" / "door"), str(story))) == 5


def test_nobody_there_or_nobody_that_answers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not handed_over(tmp_path, str(tmp_path / "nobody"))
    monkeypatch.setattr(one_program, "LONGEST_MS", 50)
    dumb = QLocalServer()
    assert dumb.listen(str(tmp_path / "dumb"))
    assert not handed_over(tmp_path, str(tmp_path / "dumb"))
    dumb.close()


@pytest.mark.skipif(os.name != "posix", reason="sockets as POSIX has them")
@pytest.mark.parametrize(
    ("answer", "taken"),
    [((TAKEN,), True), ((TAKEN[:2], TAKEN[2:]), True), ((b"what?\n",), False), ((b"",), False)],
)
def test_whether_it_was_taken_is_heard_to_the_end_of_the_line(
    answer: tuple[bytes, ...], taken: bool, qapp: QApplication, tmp_path: Path
) -> None:
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(tmp_path / "door"))
        server.listen()
        other = subprocess.Popen(
            [sys.executable, "-c", ANSWER, str(server.fileno()), *(a.decode() for a in answer)],
            pass_fds=[server.fileno()],
            stdout=subprocess.PIPE,
        )
        assert handed_over(Path("boat.tapscore"), str(tmp_path / "door")) is taken
        told, _ = other.communicate(timeout=60)
    assert json.loads(told) == {"open": str(Path.cwd() / "boat.tapscore")}


def test_the_place_of_one_that_was_killed_is_taken(qtbot: QtBot, tmp_path: Path) -> None:
    place = tmp_path / "door"
    with socket.socket(socket.AF_UNIX) as left:
        left.bind(str(place))
    opened: list[Path | None] = []
    door = Door(str(place), opened.append)
    assert ended(qtbot, start(str(place), "boat.tapscore")) == 0
    assert opened == [Path.cwd() / "boat.tapscore"]
    door.close()


def test_without_a_home_each_runs_by_itself(qapp: QApplication, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    door = Door(str(tmp_path / "file" / "state" / "door"), lambda path: None)
    assert not handed_over(None, str(tmp_path / "file" / "state" / "door"))
    door.close()


@pytest.mark.parametrize("told", [b"nonsense\n", b"[1]\n", b'{"open": 3}\n', b"\xff\n", b"{}\n"])
def test_nonsense_opens_nothing(told: bytes, qtbot: QtBot, tmp_path: Path) -> None:
    opened: list[Path | None] = []
    door = Door(str(tmp_path / "door"), opened.append)
    asking = QLocalSocket()
    asking.connectToServer(str(tmp_path / "door"))
    assert asking.waitForConnected(30_000)
    asking.write(told)
    asking.flush()
    qtbot.waitUntil(lambda: asking.state() is QLocalSocket.LocalSocketState.UnconnectedState)
    assert opened == []
    door.close()


def test_the_place_is_the_user_s_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert usual_place().endswith("door") or len(str(tmp_path)) > 60
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / ("long" * 30)))
    assert usual_place().startswith("tapscore-")


def test_a_file_that_the_system_opens(qapp: QApplication) -> None:
    """macOS sends a QFileOpenEvent; it can't be made from Python, so one stands for it."""

    class Sent(QEvent):
        def __init__(self, name: str) -> None:
            super().__init__(QEvent.Type.FileOpen)
            self._name = name

        def file(self) -> str:
            return self._name

    opened: list[Path | None] = []
    parent = QObject()
    by_the_system = OpenedByTheSystem(opened.append, parent)
    assert by_the_system.eventFilter(parent, Sent("/stories/boat.tapscore"))
    assert not by_the_system.eventFilter(parent, Sent(""))
    assert not by_the_system.eventFilter(parent, QEvent(QEvent.Type.User))
    assert opened == [Path("/stories/boat.tapscore")]
