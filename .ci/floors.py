"""Prints the oldest version that pyproject.toml allows of each package a user gets, for pip."""

import re
import tomllib
from pathlib import Path

text = (Path(__file__).parents[1] / "pyproject.toml").read_text("utf-8")
project = tomllib.loads(text)["project"]
extras = project["optional-dependencies"]
for_users = [extras[name] for name in extras if name not in ("test", "check")]
for requirement in sum(for_users, project["dependencies"]):
    floor = re.fullmatch(r"([a-z_-]+)>=([0-9.]+)", requirement)
    if floor:
        print(f"{floor[1]}=={floor[2]}")
