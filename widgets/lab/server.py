"""JupyterLab as the course opens it: quiet, offline, and apart from whatever Jupyter is on this machine."""

from __future__ import annotations

import contextlib
import os
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
START_LIMIT_S = 180  # a cold disk and a virus scanner took most of a minute; beyond that it hangs


@dataclass(frozen=True)
class Server:
    """A running JupyterLab. ``address`` ends without a slash; ``log`` holds what it prints."""

    process: subprocess.Popen[bytes]
    address: str
    token: str
    course: Path
    log: Path

    def page(self, notebook: Path) -> str:
        """Address that opens one notebook alone, with the token that lets its user in."""
        path = quote(notebook.relative_to(self.course).as_posix())
        return f"{self.address}/doc/tree/{path}?token={self.token}"


def choose_port(wanted: int | None) -> int:
    """The port asked for, or the first free one from 8888 on; raises Trouble where taken."""
    if wanted is not None:
        if not _is_free(wanted):
            raise Trouble(
                f"Port {wanted} is taken: leave --port away to have a free one chosen, or name another."
            )
        return wanted
    for port in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        if _is_free(port):
            return port
    raise Trouble(f"Ports {FIRST_PORT} to {port} are all taken: name a free one with --port NUMBER.")


def start(python: Path, course: Path, port: int) -> Server:
    """Start JupyterLab on a course folder and wait until it answers; raises Trouble where it does not."""
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
    server = Server(process, f"http://{HOST}:{port}", token, course, log)
    try:
        _wait_until_up(server)
    except BaseException:
        stop(server)
        raise
    return server


def stop(server: Server) -> None:
    """Ask JupyterLab to end itself and its kernels; end it by force where it does not."""
    if server.process.poll() is None:
        with contextlib.suppress(OSError):
            _ask(server, "/api/shutdown", method="POST")
    for force in (server.process.terminate, server.process.kill):
        try:
            server.process.wait(timeout=10)
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


def _wait_until_up(server: Server) -> None:
    until = time.monotonic() + START_LIMIT_S
    while time.monotonic() < until:
        if server.process.poll() is not None:
            tail = server.log.read_text(encoding="utf-8", errors="replace").strip().splitlines()[-1:]
            raise Trouble(
                f"JupyterLab ended at once with '{''.join(tail)}': read {server.log} and start again."
            )
        with contextlib.suppress(OSError):
            _ask(server, "/api/status")
            return
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
