"""Where the server listens, and where phones on the same network reach it."""

from __future__ import annotations

import errno
import socket

PORT = 8417
_TRIES = 20


def listening(port: int, lan: bool) -> tuple[socket.socket, int]:
    """A bound socket and its port: the one asked for, or the next free one.

    Raises OSError when none of the next twenty is free.
    """
    host = "0.0.0.0" if lan else "127.0.0.1"
    for tried in range(port, min(port + _TRIES, 65536)):
        sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            sock.bind((host, tried))
            sock.listen(128)
        except OSError as error:
            sock.close()
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            continue
        return sock, sock.getsockname()[1]
    raise OSError(errno.EADDRINUSE, f"no port from {port} on is free; name another with --port")


def own_address() -> str:
    """This machine's address on its network; empty when it has none. Nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sock:
        try:
            sock.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737)
            return str(sock.getsockname()[0])
        except OSError:
            return ""
