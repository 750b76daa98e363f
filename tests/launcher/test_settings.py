"""Does every setting of ours name a thing that this JupyterLab has? A misspelt one is ignored in silence."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest

from lab import server

SHARED = Path(sys.prefix) / "share" / "jupyter"
LABCONFIG = server.SETTINGS / "labconfig"


@pytest.fixture(scope="module")
def plugins() -> set[str]:
    """Ids of all front-end plugins that are installed."""
    bundles = [*(SHARED / "lab" / "static").glob("*.js"), *(SHARED / "labextensions").rglob("*.js")]
    found: set[str] = set()
    for path in bundles:
        text = path.read_text(encoding="utf-8")
        found.update(re.findall(r"""["'](@[a-z-]+/[a-z-]+:[A-Za-z-]+)["']""", text))
    return found


def unknown(named: set[str], plugins: set[str]) -> set[str]:
    """Names that are neither a plugin nor an extension with plugins."""
    return named - plugins - {plugin.partition(":")[0] for plugin in plugins}


def unknown_settings(overrides: dict[str, dict[str, object]]) -> set[str]:
    """Settings that the schema of their plugin does not have."""
    found = set()
    for plugin, values in overrides.items():
        extension, _, name = plugin.partition(":")
        schema = json.loads((SHARED / "lab" / "schemas" / extension / f"{name}.json").read_text())
        found |= {f"{plugin} {key}" for key in values if key not in schema["properties"]}
    return found


def test_every_plugin_switched_off_exists(plugins: set[str]) -> None:
    named = set(json.loads((LABCONFIG / "page_config.json").read_text())["disabledExtensions"])
    assert unknown(named, plugins) == set()
    assert unknown({"@jupyterlab/filebrowser-extension:wiget"}, plugins) != set()


def test_every_overridden_setting_exists() -> None:
    overrides = json.loads((LABCONFIG / "default_setting_overrides.json").read_text())
    assert unknown_settings(overrides) == set()
    planted = {"@jupyterlab/statusbar-extension:plugin": {"visble": False}}
    assert unknown_settings(planted) == {"@jupyterlab/statusbar-extension:plugin visble"}


def test_every_server_extension_switched_off_is_one_that_is_installed() -> None:
    ours = json.loads((server.SETTINGS / "jupyter_server_config.json").read_text())
    named = set(ours["ServerApp"]["jpserver_extensions"])
    there: set[str] = set()
    for path in (Path(sys.prefix) / "etc" / "jupyter" / "jupyter_server_config.d").glob("*.json"):
        there |= set(json.loads(path.read_text())["ServerApp"]["jpserver_extensions"])
    assert named == there  # a new one is decided on, not let in unseen
