"""One running program for all stories: a further start hands its story over and ends.

The two talk through a local socket that the system keeps to this user; what is handed over is
the path of a file and nothing else.  Where that fails, each runs by itself, as ever.
"""

import json
import os
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QObject
from PySide6.QtNetwork import QLocalServer, QLocalSocket

LONGEST_MS = 1500
"""A program that has not answered by then is busy, or is none of ours."""
_LONGEST_BYTES = 20_000
_LONGEST_NAME = 90
"""Bytes; Linux takes sockets with names of 107 (unix(7))."""
TAKEN = b"taken\n"


def usual_place() -> str:
    """The socket's name: in the user's own folder, or named for it where sockets are no files."""
    import platformdirs

    folder = platformdirs.user_state_path("tapscore", appauthor=False)
    place = str(folder / "door")
    if os.name == "posix" and len(os.fsencode(place)) <= _LONGEST_NAME:
        return place
    return f"tapscore-{sha256(os.fsencode(folder)).hexdigest()[:16]}"


def handed_over(path: Path | None, place: str) -> bool:
    """Give a story (or the wish to begin one) to the program that runs; False if none took it."""
    socket = QLocalSocket()
    socket.connectToServer(place)
    if not socket.waitForConnected(LONGEST_MS):
        return False
    told = json.dumps({"open": None if path is None else str(path.absolute())})
    socket.write(QByteArray(f"{told}\n".encode()))
    socket.flush()
    while not socket.canReadLine():
        if not socket.waitForReadyRead(LONGEST_MS):
            return False
    return bytes(socket.readLine().data()) == TAKEN


class Door(QObject):
    """Takes what further starts hand over; without it, if somebody else has the place."""

    def __init__(
        self, place: str, opened: Callable[[Path | None], object], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._opened = opened
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._somebody)
        if os.path.isabs(place):  # noqa: PTH117 - on Windows it is a name
            with suppress(OSError):  # no home folder, a full disc: then each runs by itself
                Path(place).parent.mkdir(parents=True, exist_ok=True)
        if not self._server.listen(place):
            # left by a program that was killed: nobody answered there
            QLocalServer.removeServer(place)
            self._server.listen(place)

    def close(self) -> None:
        """Take nothing more."""
        self._server.close()

    def _somebody(self) -> None:
        socket = self._server.nextPendingConnection()
        if socket is None:
            return
        socket.readyRead.connect(lambda: self._hear(socket))
        socket.disconnected.connect(socket.deleteLater)
        self._hear(socket)

    def _hear(self, socket: QLocalSocket) -> None:
        if not socket.canReadLine():
            if socket.bytesAvailable() > _LONGEST_BYTES:
                socket.abort()
            return
        try:
            told = json.loads(bytes(socket.readLine().data()))
            wanted = told["open"]
            path = None if wanted is None else Path(wanted)
        except (ValueError, TypeError, KeyError, UnicodeDecodeError):
            socket.abort()
            return
        socket.write(QByteArray(TAKEN))
        socket.flush()
        self._opened(path)


class OpenedByTheSystem(QObject):
    """On macOS a story that is double-clicked comes as an event, not as an argument."""

    def __init__(self, opened: Callable[[Path | None], object], parent: QObject) -> None:
        super().__init__(parent)
        self._opened = opened

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Qt: files that the system wants to be opened."""
        if event.type() == QEvent.Type.FileOpen:
            name = event.file()  # type: ignore[attr-defined]
            if name:
                self._opened(Path(name))
                return True
        return super().eventFilter(watched, event)
