"""`replace`: a struct with some of its fields changed, where the type checker knows the fields.

msgspec's own takes any names and any values; mypy checks those of `dataclasses.replace`, also for structs.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import replace as replace
else:
    from msgspec.structs import replace as replace

__all__ = ["replace"]
