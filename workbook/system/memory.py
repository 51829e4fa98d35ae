"""A limit of memory for this process, and how often it looks for what it holds in vain."""

import gc
import sys
from contextlib import suppress

_SELDOM = 100_000  # things made and not freed since


def limit_memory(most: int) -> bool:
    """No more than so many bytes for this process from now on, or what limit it has already. Whether the system does so.

    What asks for more gets a MemoryError. macOS has such a limit by name only.
    """
    if sys.platform == "win32":
        from workbook.system import windows  # there alone

        return windows.limit_memory(most)
    else:
        import resource  # Windows has none

        _, hard = resource.getrlimit(resource.RLIMIT_AS)
        with suppress(ValueError, OSError):  # macOS refuses what is under the size it has already
            resource.setrlimit(resource.RLIMIT_AS, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
            return sys.platform != "darwin"
        return False


def collect_seldom() -> None:
    """Looks for garbage that refers to itself a hundredth as often: processes that make much and end soon are a tenth quicker."""
    gc.set_threshold(_SELDOM)
