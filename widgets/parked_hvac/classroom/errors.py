"""What goes wrong in a classroom, told in one sentence that says what to do next."""

from __future__ import annotations


class ClassError(ValueError):
    """Bad input to a class command; the sentence carries the value and the remedy. Exit status 2."""
