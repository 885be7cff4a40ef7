"""What is kept of the keys of the specs: `python -m tests.kept_keys` makes it anew when a key changes.

Which papers show a key, as it is measured: cardgen/spec/shown_on.json. The reference: cardgen/KEYS.md.
The schema that lies beside the specs: specs/record-schema.json.
"""

import json
from pathlib import Path

from cardgen.shop.starting import SCHEMA
from cardgen.spec import key_reference
from cardgen.spec.schema import json_schema
from tests.test_every_key_is_on_paper import EVERY_KEY, measured

TOP = Path(__file__).parents[1]
SHOWN_ON = TOP / "cardgen" / "spec" / key_reference.SHOWN_ON
LAID_SCHEMA = TOP / "specs" / SCHEMA
KEYS = TOP / "cardgen" / "KEYS.md"


def written() -> dict[Path, str]:
    """What the models say, for people and for editors."""
    schema = json.dumps(json_schema(), ensure_ascii=False, indent=1)
    return {KEYS: key_reference.page(), LAID_SCHEMA: f"{schema}\n"}


def main() -> None:
    """Keep all of it."""
    shown = {key: ", ".join(measured(key)) for key in EVERY_KEY}
    SHOWN_ON.write_text(json.dumps(shown, indent=0, ensure_ascii=False) + "\n", "utf-8")
    key_reference.shown_on.cache_clear()
    for path, text in written().items():
        path.write_text(text, "utf-8")


if __name__ == "__main__":
    main()
