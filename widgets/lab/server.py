"""JupyterLab as the course opens it: quiet, offline, and apart from whatever Jupyter is on this machine."""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from lab.course import STATE
from lab.trouble import Trouble

SETTINGS = Path(__file__).resolve().parent / "config"
HOST = "127.0.0.1"
FIRST_PORT = 8888
PORTS_TRIED = 50
PORT_LOST = re.compile(r"port \d+ is not available|port \d+ is already in use", re.IGNORECASE)
END_LIMIT_S = 10.0  # JupyterLab ends its kernels in a second or two
START_LIMIT_S = 180  # a cold disk and a virus scanner took most of a minute; beyond that it hangs


@dataclass(frozen=True)
class Server:
    """A running JupyterLab; ``log`` holds what it prints."""

    process: subprocess.Popen[bytes]
    port: int
    token: str
    course: Path
    log: Path

    @property
    def address(self) -> str:
        """Address of its first page, without a slash at the end."""
        return f"http://{HOST}:{self.port}"

    def page(self, notebook: Path) -> str:
        """Address that opens one notebook alone, with the token that lets its user in."""
        path = quote(notebook.relative_to(self.course).as_posix())
        return f"{self.address}/doc/tree/{path}?token={self.token}"


def start(python: Path, course: Path, wanted_port: int | None) -> Server:
    """Start JupyterLab on a course folder and wait until it answers.

    It takes the port wanted or, where none is, the first free one from 8888 on. Raises Trouble where
    there is none or JupyterLab does not come up.
    """
    ports = range(FIRST_PORT, FIRST_PORT + PORTS_TRIED) if wanted_port is None else [wanted_port]
    for port in ports:
        if not _is_free(port):
            continue
        server = _launch(python, course, port)
        try:
            if _comes_up(server):
                return server
        except BaseException:
            stop(server)
            raise
    if wanted_port is None:
        raise Trouble(f"Ports {ports[0]} to {ports[-1]} are all taken: name a free one with --port NUMBER.")
    raise Trouble(
        f"Port {wanted_port} is taken: name another, or leave --port away to have a free one chosen."
    )


def stop(server: Server) -> None:
    """Ask JupyterLab to end itself and its kernels; end it by force where it does not."""
    if server.process.poll() is None:
        with contextlib.suppress(OSError):
            _ask(server, "/api/shutdown", method="POST")
    for force in (server.process.terminate, server.process.kill):
        try:
            server.process.wait(timeout=END_LIMIT_S)
            return
        except subprocess.TimeoutExpired:
            force()
    server.process.wait()


def command(python: Path, course: Path, port: int) -> list[str]:
    """The command line that starts JupyterLab."""
    line = [str(python), "-m", "jupyterlab", f"--ServerApp.root_dir={course}", f"--ServerApp.port={port}"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        line.append("--allow-root")
    return line


def environment(state: Path, token: str) -> dict[str, str]:
    """Environment variables that make JupyterLab read our settings and keep its own files in ``state``.

    Everything that Jupyter, IPython or a user's own packages would bring in from the home folder is
    kept out, so the course looks alike everywhere and leaves no trace there.
    """
    variables = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("JUPYTER", "NBGRADER")) and name not in ("PYTHONPATH", "PYTHONHOME")
    }
    variables |= {
        "JUPYTER_CONFIG_PATH": str(SETTINGS),
        "JUPYTER_CONFIG_DIR": str(state / "config"),
        "JUPYTER_DATA_DIR": str(state / "data"),
        "JUPYTER_RUNTIME_DIR": str(state / "runtime"),
        "JUPYTERLAB_SETTINGS_DIR": str(state / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(state / "workspaces"),
        "IPYTHONDIR": str(state / "ipython"),
        "PYTHONNOUSERSITE": "1",
        # Points of finished jobs, for the learner's eyes only (assessment/kept.py).
        "PARKED_HVAC_STATE": str(state),
        # By the environment, not the command line, where every user of the machine could read it.
        "JUPYTER_TOKEN": token,
    }
    return variables


def has_display() -> bool:
    """Whether a browser window can appear; without one, Python would open a text browser in the terminal."""
    if sys.platform.startswith(("win", "darwin")):
        return True
    return any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"))


def _is_free(port: int) -> bool:
    with socket.socket() as tried:
        if os.name != "nt":
            # As JupyterLab binds it: a port left a moment ago is free. Windows would share a taken one.
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((HOST, port))
        except (OSError, OverflowError):
            return False
    return True


def _launch(python: Path, course: Path, port: int) -> Server:
    state = course / STATE
    state.mkdir(parents=True, exist_ok=True)
    log = state / "jupyterlab.log"
    token = secrets.token_hex(16)
    with log.open("wb") as kept:
        process = subprocess.Popen(
            command(python, course, port),
            env=environment(state, token),
            stdin=subprocess.DEVNULL,
            stdout=kept,
            stderr=subprocess.STDOUT,
        )
    return Server(process, port, token, course, log)


def _comes_up(server: Server) -> bool:
    """Wait for the first answer; False where another program took the port meanwhile."""
    until = time.monotonic() + START_LIMIT_S
    while time.monotonic() < until:
        if server.process.poll() is not None:
            report = server.log.read_text(encoding="utf-8", errors="replace").strip()
            if PORT_LOST.search(report):
                return False
            last = report.splitlines()[-1] if report else "no word"
            raise Trouble(f"JupyterLab ended at once with '{last}': read {server.log} and start again.")
        with contextlib.suppress(OSError):
            _ask(server, "/api/status")
            return True
        time.sleep(0.1)
    raise Trouble(f"JupyterLab did not answer within {START_LIMIT_S} s: read {server.log} and start again.")


def _ask(server: Server, path: str, method: str = "GET") -> None:
    request = urllib.request.Request(
        server.address + path, method=method, headers={"Authorization": f"token {server.token}"}
    )
    # No proxy: the request never leaves this machine.
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    with opener.open(request, timeout=10):
        pass
