"""Serve the desk to this machine alone."""

from __future__ import annotations

import secrets
import socket
from collections.abc import Callable

from crossproof.desk.desk import Desk

LOOPBACK = "127.0.0.1"


class PortTaken(Exception):
    """Another program listens at the port, or it is not to be had."""


def serve(desk: Desk, *, port: int = 0, ready: Callable[[str], None]) -> None:
    """Serve the desk until it is stopped.

    Args:
        port: where; 0 takes any that is free.
        ready: is told the address, with its token, once the desk can be opened.

    Raises:
        PortTaken: the port cannot be had.
    """
    import uvicorn

    from crossproof.desk.app import make_app

    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((LOOPBACK, port))
            listening.listen(64)
        except OSError:
            raise PortTaken from None
        port = listening.getsockname()[1]
        token = secrets.token_urlsafe(24)
        config = uvicorn.Config(
            make_app(desk, token=token, port=port),
            http="h11",
            ws="none",
            loop="asyncio",
            lifespan="off",
            log_level="warning",
            access_log=False,  # it would hold the token
            server_header=False,
            proxy_headers=False,
            limit_concurrency=64,
            timeout_keep_alive=5,
            timeout_graceful_shutdown=2,
            h11_max_incomplete_event_size=64 * 1024,
        )
        ready(f"http://{LOOPBACK}:{port}/?token={token}")
        uvicorn.Server(config).run(sockets=[listening])
