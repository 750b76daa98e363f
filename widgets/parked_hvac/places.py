"""Where the course's files lie on this machine."""

from __future__ import annotations

import os
from pathlib import Path


def data_dir() -> Path:
    """Folder with every number and word about the training truck.

    The package is installed in place (``pip install -e widgets``), so the folder lies two levels
    above the package. ``PARKED_HVAC_DATA`` names another one, for tests with planted defects.

    Raises FileNotFoundError with the path tried and what to do next.
    """
    named = os.environ.get("PARKED_HVAC_DATA")
    path = Path(named) if named else Path(__file__).resolve().parents[2] / "data"
    if not path.is_dir():
        raise FileNotFoundError(
            f"No data folder at {path}: install the course from its repository with "
            "'pip install -e widgets', or set PARKED_HVAC_DATA to the repository's data folder."
        )
    return path
