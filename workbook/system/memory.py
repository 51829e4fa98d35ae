"""A memory limit for this process, and how often it collects garbage."""

import gc
import sys
from contextlib import suppress

_SELDOM = 100_000  # allocations that have not been freed since the last collection


def limit_memory(most: int) -> bool:
    """Limit this process to so many bytes, or to a lower limit it already has; whether the system enforces it.

    Allocations beyond the limit raise MemoryError. macOS has such a limit in name only.
    """
    if sys.platform == "win32":
        from workbook.system import windows  # needed only there

        return windows.limit_memory(most)
    else:
        import resource  # Windows has none

        _, hard = resource.getrlimit(resource.RLIMIT_AS)
        with suppress(ValueError, OSError):  # macOS refuses a limit below the present size
            resource.setrlimit(resource.RLIMIT_AS, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
            return sys.platform != "darwin"
        return False


def collect_seldom() -> None:
    """Collect cyclic garbage a hundredth as often: processes that allocate much and end soon are a tenth faster."""
    gc.set_threshold(_SELDOM)
