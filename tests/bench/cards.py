"""The cards of the bench: each part of specs/ as `cardgen values` prints it."""

import json
from functools import lru_cache
from pathlib import Path

from click.testing import CliRunner

from cardgen.cli import commands
from tests.bench.sheet import Card

SHOP = Path(__file__).parent


@lru_cache
def card(part: str) -> Card:
    """The JSON of one part's card; whoever changes it works on a copy."""
    result = CliRunner().invoke(commands, ["values", part, "--shop", str(SHOP)])
    assert result.exit_code == 0, result.output
    printed: Card = json.loads(result.stdout)
    return printed
