"""The commands for whoever writes specs: what may be written, what is wrong with it, what to start from."""

from pathlib import Path

import click

from cardgen.commands.common import give_up, say


@click.command()
@click.argument("key", required=False, default="")
def keys(key: str) -> None:
    """Tell what can be written in a spec: every key, or all about KEY.

    KEY is a kind of record ('gauge'), a group ('part.taper'), a key ('part.taper.relief') or its bare name
    ('relief').
    """
    from cardgen.spec.complaint import Refusal
    from cardgen.spec.key_reference import about

    try:
        for line in about(key):
            say(line)
    except Refusal as refusal:
        give_up([str(refusal)])


@click.command()
def schema() -> None:
    """Print the JSON Schema of the spec files, for an editor's completion."""
    import json

    from cardgen.spec import json_schema

    click.echo(json.dumps(json_schema(), ensure_ascii=False, indent=2))


@click.group()
def new() -> None:
    """Lay down something to start from."""


@new.command("shop")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def new_shop(folder: Path) -> None:
    """Lay down specs, templates and an out folder in FOLDER, which must be new or empty."""
    from cardgen.shop.starting import lay_down

    lay_down(folder)
    say(f"{folder}: specs, templates and out are there; try: cardgen make --shop {folder}")
