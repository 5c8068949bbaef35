"""Prints the oldest versions that pyproject.toml allows, as constraints for pip."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["project"]
for needed in project["dependencies"]:
    name, oldest = re.match(r"([\w-]+)>=([\d.]+)", needed).groups()
    print(f"{name}=={oldest}")
