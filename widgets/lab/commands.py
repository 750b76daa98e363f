"""The command line: what ``lab`` and ``test`` take and the order in which they do things."""

from __future__ import annotations

import argparse
import contextlib
import signal
import sys
import webbrowser
from pathlib import Path
from types import FrameType

from lab import checks, course, environment, server
from lab.trouble import Trouble

REPOSITORY = Path(__file__).resolve().parents[2]


def run(arguments: list[str]) -> int:
    """Run a command and return its exit status; Trouble ends it with a sentence on standard error and 2."""
    for stream in (sys.stdout, sys.stderr):
        # A path may hold a letter that an old console cannot show; that is no reason to stop.
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    chosen = _parser().parse_args(arguments)
    # A closed terminal or a service manager ends us as Ctrl-C does, so that JupyterLab ends too.
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _interrupt)
    try:
        if chosen.command == "lab":
            return _lab(chosen)
        python = environment.prepare(REPOSITORY, say)
        return checks.run(REPOSITORY, python, chosen.check, say)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped. What was not finished is taken up again at the next start.", file=sys.stderr)
        return 130


def say(sentence: str) -> None:
    """Tell the user what is being done, at once."""
    print(sentence, flush=True)


def _lab(chosen: argparse.Namespace) -> int:
    folder = course.course_folder(chosen.course, REPOSITORY)
    python = environment.prepare(REPOSITORY, say)
    course.lay_out(REPOSITORY / "lessons", folder, say)
    say("Starting JupyterLab ...")
    running = server.start(python, folder, chosen.port)
    try:
        page = running.page(course.start_page(folder))
        say(f"Your lessons and your work are in {folder}")
        if chosen.port is None and running.port != server.FIRST_PORT:
            say(f"Port {server.FIRST_PORT} is taken, so this uses {running.port}.")
        say(f"The course is open at {page}")
        say("Leave this window open while you work; Ctrl-C here closes the course.")
        if not chosen.no_browser and server.has_display():
            webbrowser.open(page)
        status = running.process.wait()
        if status != 0:
            raise Trouble(f"JupyterLab ended with status {status}: read {running.log} and start again.")
    except KeyboardInterrupt:
        say("Closing the course ...")
    finally:
        server.stop(running)
    return 0


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _port(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"'{text}' is not a port: name a number from 1 to 65535")
    return int(text)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="run.py",
        description="Open the course, or run its checks. Both make the environment where it is missing.",
        epilog=f"{environment.VARIABLE}=PATH keeps the environment elsewhere than in .venv; "
        f"{course.VARIABLE}=PATH names the course folder as --course does.",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="lab | test")
    lab = commands.add_parser("lab", help="open the course in JupyterLab")
    lab.add_argument(
        "--course", metavar="PATH", help="folder of your lessons and work (~/parked-hvac-course)"
    )
    lab.add_argument(
        "--port", type=_port, metavar="NUMBER", help="port to serve on (the first free one from 8888)"
    )
    lab.add_argument("--no-browser", action="store_true", help="only print the address")
    test = commands.add_parser("test", help="run every check, or those named")
    test.add_argument(
        "check", nargs="*", metavar="CHECK", help=f"one or more of: {', '.join(checks.NAMES)} (all)"
    )
    return parser
