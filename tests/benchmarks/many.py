"""A class at once on one machine: log in, open a lesson, run all of it, answer, with times.

    python -m tests.benchmarks.many --hub FOLDER_WITH_JUPYTERHUB --trainees 20

Starts a JupyterHub of its own with `binder/jupyterhub_config.py`, but for its authenticator, which
takes any name, and its spawner, which needs no accounts. `configurable-http-proxy` must be on the
PATH. A switch that is flipped needs no kernel, so it costs the server nothing and is not measured.
"""

from __future__ import annotations

import argparse
import http.cookiejar
import json
import os
import re
import secrets
import subprocess
import tempfile
import time
import urllib.parse
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from typing import Any

import websocket

CHECKOUT = Path(__file__).resolve().parents[2]
LESSON = "02_what_does_half_the_voltage_give.ipynb"
ANSWERS = ("1 A", "2 A", "half", "0.5 kW", "3.5")
PORT = 18000
PATIENCE_S = 600

CONFIG = """
exec(open({config!r}).read())
c.JupyterHub.bind_url = "http://127.0.0.1:{port}"
c.JupyterHub.hub_port = {port} + 1
c.JupyterHub.authenticator_class = "dummy"
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = {homes!r} + "/{{username}}"
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:" + str({port} + 2)
c.JupyterHub.concurrent_spawn_limit = 0
c.Spawner.args = [*c.Spawner.args, "--allow-root"]
c.JupyterHub.load_roles = [{{"name": "user", "scopes": ["self"]}}]
"""


@dataclass
class Trainee:
    """One made-up trainee, with the seconds that each step took."""

    name: str
    took_s: dict[str, float] = field(default_factory=dict)
    failure: str = ""

    def __post_init__(self) -> None:
        self._jar = http.cookiejar.CookieJar()
        self._web = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self._jar))
        self._hub = f"http://127.0.0.1:{PORT}"
        self._own = f"/user/{self.name}"

    def run(self) -> None:
        """Everything, step by step; what goes wrong is kept in `failure`."""
        try:
            for step in (self.log_in, self.wait_for_server, self.run_lesson, self.answer):
                began = time.perf_counter()
                step()
                self.took_s[step.__name__] = time.perf_counter() - began
        except Exception as problem:  # whatever it is, the others go on
            self.failure = f"{type(problem).__name__}: {problem}"

    def log_in(self) -> None:
        self._get("/hub/login")
        form = {"username": self.name, "password": "x", "_xsrf": self._xsrf("/hub/")}
        self._web.open(f"{self._hub}/hub/login", urllib.parse.urlencode(form).encode()).read()

    def wait_for_server(self) -> None:
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            found = self._web.open(f"{self._hub}{self._own}/lab")
            if found.geturl().startswith(f"{self._hub}{self._own}/"):
                return
            time.sleep(1)
        raise TimeoutError("the server did not start")

    def run_lesson(self) -> None:
        book = json.loads(self._get(f"{self._own}/api/contents/{LESSON}"))["content"]
        said = {"name": "", "path": LESSON, "type": "notebook", "kernel": {"name": "python3"}}
        session = json.loads(self._post(f"{self._own}/api/sessions", said))
        cookies = "; ".join(f"{one.name}={one.value}" for one in self._jar)
        kernel = f"{self._own}/api/kernels/{session['kernel']['id']}/channels"
        self._socket = websocket.create_connection(
            f"ws://127.0.0.1:{PORT}{kernel}", cookie=cookies, timeout=PATIENCE_S
        )
        for cell in book["cells"]:
            if cell["cell_type"] == "code":
                self._execute("".join(cell["source"]))

    def answer(self) -> None:
        self._execute("from lessonlib import exercise")
        for given in ANSWERS:
            self._execute(f"exercise('urn-on-low-mains').try_answer({given!r})")

    def _execute(self, code: str) -> None:
        """Run a cell, and wait until it is done. Raises `RuntimeError` for an error in it."""
        sent = secrets.token_hex(8)
        self._socket.send(
            json.dumps(
                {
                    "header": {
                        "msg_id": sent,
                        "msg_type": "execute_request",
                        "username": "",
                        "session": self.name,
                        "version": "5.3",
                    },
                    "parent_header": {},
                    "metadata": {},
                    "content": {"code": code, "silent": False, "allow_stdin": False},
                    "channel": "shell",
                }
            )
        )
        while True:
            said: dict[str, Any] = json.loads(self._socket.recv())
            if said.get("parent_header", {}).get("msg_id") != sent:
                continue
            if said["msg_type"] == "execute_reply":
                if said["content"]["status"] != "ok":
                    raise RuntimeError(said["content"].get("evalue", "aborted"))
                return

    def _get(self, path: str) -> bytes:
        return bytes(self._web.open(f"{self._hub}{path}").read())

    def _post(self, path: str, said: object) -> bytes:
        headers = {"Content-Type": "application/json", "X-XSRFToken": self._xsrf(f"{self._own}/")}
        url, data = f"{self._hub}{path}", json.dumps(said).encode()
        return bytes(self._web.open(urllib.request.Request(url, data, headers)).read())

    def _xsrf(self, path: str) -> str:
        return next(
            (one.value or "" for one in self._jar if one.name == "_xsrf" and one.path == path), ""
        )


def memory_MB(name: str) -> float:
    """Memory of a trainee's server and kernels, with their part of what is shared."""
    total = 0
    for process in Path("/proc").glob("[0-9]*"):
        try:
            mine = f"JUPYTERHUB_USER={name}\0".encode() in (process / "environ").read_bytes()
            if mine:
                total += int(re.findall(r"Pss: +(\d+)", (process / "smaps_rollup").read_text())[0])
        except (OSError, IndexError):
            continue
    return total / 1024


def main() -> None:
    """Start the hub, let the class in, and print what it took."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hub", type=Path, required=True, help="folder that has `jupyterhub`")
    parser.add_argument("--trainees", type=int, default=20)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        homes = Path(place, "homes")
        some = [Trainee(f"t{number:02}") for number in range(asked.trainees)]
        for one in some:
            (homes / one.name).mkdir(parents=True)
        config = Path(place, "config.py")
        given = CHECKOUT / "binder" / "jupyterhub_config.py"
        config.write_text(CONFIG.format(config=str(given), port=PORT, homes=str(homes)), "utf-8")
        with (
            Path(place, "log").open("wb") as log,
            subprocess.Popen(
                [asked.hub / "jupyterhub", "-f", config],
                cwd=place,
                stdout=log,
                stderr=log,
                env={**os.environ, "PATH": f"{asked.hub}:{os.environ['PATH']}"},
            ) as hub,
        ):
            try:
                _until_it_answers(hub, Path(place, "log"))
                with ThreadPoolExecutor(asked.trainees) as class_:
                    list(class_.map(Trainee.run, some))
                _print(some)
            finally:
                hub.terminate()


def _until_it_answers(hub: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + 120
    while time.monotonic() < end and hub.poll() is None:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{PORT}/hub/login").read()
            return
        except OSError:
            time.sleep(0.5)
    raise SystemExit(f"The hub did not start:\n{log.read_text()[-2000:]}")


def _print(some: list[Trainee]) -> None:
    for step in ("log_in", "wait_for_server", "run_lesson", "answer"):
        times = [one.took_s[step] for one in some if step in one.took_s]
        if times:
            said = f"median {median(times):6.1f} s, longest {max(times):6.1f} s"
            print(f"{step.replace('_', ' '):18} {len(times):3} of {len(some)}: {said}")
    sizes = [memory_MB(one.name) for one in some]
    print(f"memory of each: median {median(sizes):.0f} MB, most {max(sizes):.0f} MB")
    for one in some:
        if one.failure:
            print(f"{one.name} failed: {one.failure[:300]}")


if __name__ == "__main__":
    main()
