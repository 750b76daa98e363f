"""Is JupyterLab started apart from the user's own, on a free port, and are its failures told?"""

from __future__ import annotations

import os
import socket
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from lab import server
from lab.trouble import Trouble


@pytest.fixture
def taken() -> Iterator[int]:
    """A port that another program listens on."""
    with socket.socket() as other:
        other.bind((server.HOST, 0))
        other.listen()
        yield other.getsockname()[1]


@pytest.fixture
def pretend(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program in the place of Python that ends as the file `script` beside it says."""
    program = tmp_path / "python"
    program.write_text(f'#!/bin/sh\nexec /bin/sh "{tmp_path}/script" "$@"\n')
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    return program


def test_a_port_that_was_named_and_is_taken_is_told(tmp_path: Path, taken: int) -> None:
    with pytest.raises(Trouble, match=rf"Port {taken} is taken: name another, or leave --port away"):
        server.start(Path(sys.executable), tmp_path, taken)


def test_without_a_named_port_the_next_free_one_serves(
    tmp_path: Path, taken: int, pretend: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The first port is taken from the start, the second between our look and JupyterLab's.
    (tmp_path / "script").write_text(
        f'case "$*" in *port={taken + 2}*) echo reached; exit 3;; esac\n'
        f'echo "the Jupyter server could not be started because port {taken + 1} is not available."\nexit 1\n'
    )
    monkeypatch.setattr(server, "FIRST_PORT", taken)
    monkeypatch.setattr(server, "_is_free", lambda port: port != taken)
    with pytest.raises(Trouble, match=r"JupyterLab ended at once with 'reached': read .*jupyterlab.log"):
        server.start(pretend, tmp_path, None)


def test_no_free_port_at_all_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "_is_free", lambda port: False)
    with pytest.raises(Trouble, match="Ports 8888 to 8937 are all taken: name a free one with --port"):
        server.start(Path(sys.executable), tmp_path, None)


def test_nothing_of_the_users_own_jupyter_comes_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JUPYTER_PATH", "/home/user/kernels")
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    monkeypatch.setenv("PYTHONPATH", "/home/user/packages")
    variables = server.environment(tmp_path, "secret")
    assert "JUPYTER_PATH" not in variables
    assert "NBGRADER_EXECUTION" not in variables
    assert "PYTHONPATH" not in variables
    assert variables["JUPYTER_CONFIG_PATH"] == str(server.SETTINGS)
    places = [value for name, value in variables.items() if name.endswith("_DIR") and "JUPYTER" in name]
    assert len(places) == 5
    assert all(Path(place).is_relative_to(tmp_path) for place in places)


def test_the_token_is_not_on_the_command_line() -> None:
    line = server.command(Path("python"), Path("/course"), 8888)
    assert not any("token" in word.lower() for word in line)


def test_without_a_display_no_browser_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"):
        monkeypatch.delenv(name, raising=False)
    assert not server.has_display()
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert server.has_display()


@pytest.mark.slow
def test_jupyterlab_comes_up_asks_for_its_token_and_ends_leaving_the_home_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    own = tmp_path / "own course"
    own.mkdir()
    running = server.start(Path(sys.executable), own, None)
    try:
        server._ask(running, "/lab/api/settings")
        stranger = server.Server(running.process, running.port, "guess", own, running.log)
        with pytest.raises(OSError, match="403"):
            server._ask(stranger, "/api/contents")
        # What learners have no use for is not even there.
        for extension in ("/formgrader", "/assignment_list", "/courses", "/tree"):
            with pytest.raises(OSError, match="404"):
                server._ask(running, extension)
        page = running.page(own / "lesson 0" / "größe.ipynb")
        assert "/doc/tree/lesson%200/gr%C3%B6%C3%9Fe.ipynb?token=" in page
    finally:
        server.stop(running)
    assert running.process.poll() == 0
    assert list(home.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="plays a program by a shell script")
def test_a_server_that_will_not_end_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "END_LIMIT_S", 0.1)
    deaf = subprocess.Popen(
        [sys.executable, "-c", "import signal; signal.signal(15, signal.SIG_IGN); signal.pause()"]
    )
    server.stop(server.Server(deaf, 9, "", tmp_path, tmp_path / "log"))
    assert deaf.poll() is not None
