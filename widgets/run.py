"""The two commands of the course: ``lab`` opens it, ``test`` runs every check.

Only the standard library, and syntax that an older Python can still read, so that it can say in a
sentence what it needs. What the commands do stands in the folder ``lab`` beside this file.
"""

from __future__ import annotations

import sys

NEEDED = (3, 11)


def main(arguments: list[str]) -> int:
    """Run one command; returns the exit status: 0, 1 (a check failed) or 2 (a sentence says why)."""
    if sys.version_info < NEEDED:
        sys.stderr.write(
            "The course needs Python {}.{} or newer and this is Python {}.{}: install a newer one from your "
            "system's packages or python.org and start again with it, for example "
            "'python3.11 widgets/run.py lab'.\n".format(*NEEDED, *sys.version_info[:2])
        )
        return 2
    from lab.commands import run

    return run(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
