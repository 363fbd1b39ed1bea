"""Builds the compiled force field into the wheel, where there is a C compiler; without one the wheel is pure
Python and chairgap minimises with RDKit.

    python pipeline/hatch_build.py      # into the source tree, after a change of the C files
"""

import runpy
import sys
import sysconfig
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

_FOLDER = "chairgap/minimise/compiled"


class CustomBuildHook(BuildHookInterface):
    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        source = Path(self.root, "pipeline", _FOLDER)
        self.temporary = tempfile.TemporaryDirectory()
        # An editable installation runs from the source tree, which is where it looks for the library.
        into = source if version == "editable" else Path(self.temporary.name)
        building = runpy.run_path(str(source / "building.py"))
        problem = building["build"](into)
        if problem:
            self.app.display_warning(f"The compiled force field is left out, RDKit minimises: {problem}")
        elif version != "editable":
            build_data["pure_python"] = False
            platform = sysconfig.get_platform().replace("-", "_").replace(".", "_")
            build_data["tag"] = f"py3-none-{platform}"
            build_data["force_include"][str(into / building["NAME"])] = f"{_FOLDER}/{building['NAME']}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        self.temporary.cleanup()


if __name__ == "__main__":
    folder = Path(__file__).resolve().parent / _FOLDER
    sys.exit(runpy.run_path(str(folder / "building.py"))["build"](folder) or 0)
