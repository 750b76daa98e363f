"""JupyterLab and a browser for the tests of this folder; see desk.py for how a test uses them."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from lab import server
from tests.browser.desk import CHROMIUM_FLAGS, Desk


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    """A Chromium; per module, because Playwright's event loop must be gone before other tests run theirs."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=list(CHROMIUM_FLAGS))
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def axe(repository: Path) -> Path:
    """Source of axe-core, which `widgets/run.py test` fetches; skips where missing, fails under CI."""
    source = repository / "tests" / "browser" / "node_modules" / "axe-core" / "axe.min.js"
    if not source.is_file():
        sentence = f"Found no {source}; fetch it with 'npm ci --ignore-scripts' in tests/browser."
        if os.environ.get("CI"):
            pytest.fail(sentence, pytrace=False)
        pytest.skip(sentence)
    return source


@pytest.fixture(scope="module")
def lab(chromium: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[server.Server]:
    """JupyterLab, started by the launcher's own function on an empty course folder."""
    running = server.start(Path(sys.executable), tmp_path_factory.mktemp("course"), None)
    yield running
    server.stop(running)


@pytest.fixture
def desk(
    lab: server.Server, browser: Browser, axe: Path, repository: Path, request: pytest.FixtureRequest
) -> Iterator[Desk]:
    """A desk of its own for each test, checked at the end: nothing asked for outside, no console error."""
    folder = lab.course / re.sub(r"\W+", "-", request.node.name)
    folder.mkdir()
    opened = Desk(lab, browser, axe, folder, repository / "lessons")
    yield opened
    opened.clear()
    assert [address for visit in opened.visits for address in visit.outside_requests()] == []
    assert [error for visit in opened.visits for error in visit.console_errors] == []
