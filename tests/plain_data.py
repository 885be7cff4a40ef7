"""Files of figures as plain YAML: each read once, by the quicker of PyYAML's readers; not to be changed."""

from functools import cache
from pathlib import Path
from typing import Any

import yaml

Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # where PyYAML was built with libyaml


@cache
def read(path: Path) -> Any:
    """What a file of the tests or of the library holds."""
    return yaml.load(path.read_text("utf-8"), Loader)
