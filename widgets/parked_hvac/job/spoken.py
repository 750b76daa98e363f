"""How shares and names of terminals stand where a person reads them."""

from __future__ import annotations

import re

_NEGATIVE = re.compile(r"\b([A-Z]\d+\.?)-(?!\w)")


def percent(share: float) -> str:
    """A share of 0 to 1 as '40 %', with a space that does not break the line (ISO 80000-1, from memory)."""
    return f"{share:.0%}".replace("%", "\N{NO-BREAK SPACE}%")


def terminals(text: str) -> str:
    """The text with a minus sign in each name of a terminal: 'G2-', as data and logs write it, becomes 'G2−'."""
    return _NEGATIVE.sub("\\1\N{MINUS SIGN}", text)
