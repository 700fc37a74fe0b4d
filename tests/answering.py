"""The live server of the browser tests, which knows whether it is still at work for anybody."""

import socket
from collections.abc import Iterator
from threading import Condition
from typing import Any

import pytest
from django.core.servers.basehttp import ThreadedWSGIServer
from django.test.testcases import LiveServerThread

PATIENCE_S = 20.0


class CountingServer(ThreadedWSGIServer):
    """A server that counts its connections, from before a request is read until the last answer is given."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        self._connections = 0
        self._changed = Condition()
        super().__init__(*args, **kwargs)

    def process_request(self, request: Any, client_address: Any) -> None:
        self._count(1)
        super().process_request(request, client_address)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._count(-1)

    def _count(self, more: int) -> None:
        with self._changed:
            self._connections += more
            self._changed.notify_all()

    def wait_until_all_is_answered(self, *, patience_s: float = PATIENCE_S) -> None:
        """Wait until nobody is connected any more. Raises `TimeoutError` where somebody still is after so long."""
        # Connections are taken in the order in which they came: once this one is over, every earlier one is counted.
        with socket.create_connection(self.socket.getsockname(), timeout=patience_s) as last:
            last.shutdown(socket.SHUT_WR)
            last.recv(1)
        with self._changed:
            if not self._changed.wait_for(lambda: self._connections == 0, timeout=patience_s):
                raise TimeoutError(f"{self._connections} connections are still open after {patience_s} s")


@pytest.fixture(autouse=True, scope="session")
def live_servers_count() -> Iterator[None]:
    """Every live server of the run counts."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(LiveServerThread, "server_class", CountingServer)
        yield
