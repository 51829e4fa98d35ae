"""Has the catalogues made whenever the program is built or installed from its source."""

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

sys.path.insert(0, str(Path(__file__).parent))
from catalogues import compile_all


class CatalogueHook(BuildHookInterface[Any]):
    """Called by the build before it collects the files."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Makes them."""
        build_data["artifacts"] += [f"resources/languages/{file.name}" for file in compile_all()]
