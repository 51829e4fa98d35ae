"""Times of day as a maker types them."""

import re

_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)", re.ASCII)


def is_clock(text: str) -> bool:
    """Whether a text is a time of day: "21:40"."""
    return _CLOCK.fullmatch(text) is not None
