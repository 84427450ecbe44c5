"""A headless Firefox, driven by the open standard that it speaks by itself: WebDriver BiDi."""

from __future__ import annotations

import itertools
import json
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import websocket

from tests.browser.lab import free_port
from tests.browser.waiting import until

START_S = 120


class Firefox:
    """One page of it. `errors` are what the pages logged as errors, or threw."""

    def __init__(self, socket: websocket.WebSocket) -> None:
        self._socket = socket
        self._numbers = itertools.count(1)
        self.errors: list[str] = []
        self._ask("session.new", capabilities={})
        self._ask("session.subscribe", events=["log.entryAdded"])
        tree = self._ask("browsingContext.getTree")
        self._page = tree["contexts"][0]["context"]

    def _ask(self, method: str, **params: Any) -> dict[str, Any]:
        number = next(self._numbers)
        self._socket.send(json.dumps({"id": number, "method": method, "params": params}))
        while True:
            said = json.loads(self._socket.recv())
            if said.get("method") == "log.entryAdded" and said["params"]["level"] == "error":
                self.errors.append(said["params"]["text"])
            if said.get("id") == number:
                assert said["type"] == "success", said
                return dict(said["result"])

    def open(self, address: str) -> None:
        self._ask("browsingContext.navigate", context=self._page, url=address, wait="complete")

    def evaluate(self, script: str) -> Any:
        """The value of an expression, or of the promise that it gives, as JSON carries it."""
        said = self._ask(
            "script.evaluate",
            expression=f"Promise.resolve({script}).then(JSON.stringify)",
            target={"context": self._page},
            awaitPromise=True,
        )
        assert said["type"] == "success", said
        return json.loads(said["result"]["value"])


def find_firefox() -> str | None:
    """Path of a Firefox on the PATH."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


@contextmanager
def running_firefox(path: str, profile: Path) -> Iterator[Firefox]:
    port = free_port()
    log = (profile / "firefox.log").open("wb")
    process = subprocess.Popen(
        [path, "--headless", "--remote-debugging-port", str(port), "--profile", str(profile)],
        stdout=log,
        stderr=subprocess.STDOUT,
        env={"HOME": str(profile), "PATH": "/usr/bin:/bin", "MOZ_DISABLE_CONTENT_SANDBOX": "1"},
    )

    def connected() -> websocket.WebSocket | None:
        try:
            return websocket.create_connection(
                f"ws://127.0.0.1:{port}/session", timeout=START_S, suppress_origin=True
            )
        except OSError:
            return None

    try:
        socket = until(connected, START_S, lambda: (profile / "firefox.log").read_text())
        yield Firefox(socket)
        socket.close()
    finally:
        process.terminate()
        process.wait(timeout=60)
        log.close()
