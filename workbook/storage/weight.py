"""How much a workbook may hold, so that what is written here can always be opened again: limits, and what is near them.

A file from a stranger is refused beyond `FILE`; what is worked on stays well within: an edit that would make the records outgrow
`RECORDS` is refused, and old steps of the history are let go before it outgrows `HISTORY`.
"""

from collections.abc import Sequence

from msgspec import Struct

_SIGNS = ("[", "{", ":")


class Weight(Struct, frozen=True):
    """Bytes of JSON, and its parts: lists, objects or names, whichever are more."""

    size: int = 0
    parts: int = 0

    def __add__(self, other: "Weight") -> "Weight":
        return Weight(self.size + other.size, self.parts + other.parts)

    def __sub__(self, other: "Weight") -> "Weight":
        return Weight(self.size - other.size, self.parts - other.parts)

    def within(self, limit: "Weight") -> bool:
        """Whether it is no more than a limit."""
        return self.size <= limit.size and self.parts <= limit.parts


FILE = Weight(64_000_000, 3_000_000)  # beyond all use, and seconds of reading
RECORDS, HISTORY = Weight(44_000_000, 2_000_000), Weight(16_000_000, 800_000)
MOST_RECORDS, MOST_STEPS = 200_000, 100_000
KEPT_STEPS = 2000
ATTACHMENT_BYTES, ATTACHMENTS_BYTES, MOST_ATTACHMENTS = 8_000_000, 128_000_000, 2000  # of one; of all together


def weight_of(text: str) -> Weight:
    """What a piece of JSON weighs; letters outside ASCII count as many bytes as they take."""
    size = len(text) if text.isascii() else len(text.encode("utf-8", "surrogatepass"))
    return Weight(size, max(text.count(sign) for sign in _SIGNS))


def total(weights: Sequence[Weight]) -> Weight:
    """All together."""
    return Weight(sum(weight.size for weight in weights), sum(weight.parts for weight in weights))


def first_kept(steps: Sequence[Weight], done: int) -> int:
    """How many of the oldest steps are to be let go, so that the rest is within what is kept; none that is not done, nor the last
    one that is.
    """
    kept, count = Weight(), 0
    for weight in reversed(steps):
        kept += weight
        if count == KEPT_STEPS or not kept.within(HISTORY):
            break
        count += 1
    return max(min(done - 1, len(steps) - count), 0)
