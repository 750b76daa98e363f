"""Files that are there whole or as they were before, whoever looks meanwhile and whatever goes wrong amid writing."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A name to write to, which takes the place of ``path`` once all is written; of what fails amid it nothing is left."""
    half = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        yield half
        os.replace(half, path)
    finally:
        half.unlink(missing_ok=True)
