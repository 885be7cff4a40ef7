"""What a person types: commands with examples in their help, the shop's folder, ids to be completed."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import click

SHOP_VARIABLE = "CARDGEN_SHOP"


class CommandWithExamples(click.Command):
    """A command whose help shows how it is typed; in the list of commands its line is told whole."""

    def __init__(self, *given: Any, examples: tuple[str, ...] = (), **named: Any) -> None:
        super().__init__(*given, **named)
        self.examples = examples

    def get_short_help_str(self, limit: int = 0) -> str:
        return super().get_short_help_str(limit=1000)

    def format_epilog(self, _context: click.Context, formatter: click.HelpFormatter) -> None:
        if self.examples:
            with formatter.section("Examples"):
                formatter.write("".join(f"  {example}\n" for example in self.examples))


class GroupWithExamples(CommandWithExamples, click.Group):
    """A command of commands, with examples likewise."""


def command(name: str, *examples: str, **settings: Any) -> Callable[[Callable[..., None]], click.Command]:
    """A command of this name; its help shows the examples."""
    return click.command(name, cls=CommandWithExamples, examples=examples, context_settings=settings or None)


def shop_here() -> Path:
    """The shop's folder where none is named: here, or the nearest folder above that has specs."""
    for above in (here := Path.cwd(), *here.parents):
        if (above / "specs").is_dir():
            return Path(*[".."] * (len(here.parts) - len(above.parts)))
    return Path()


def _named_before(context: click.Context, _option: click.Parameter, given: Path | None) -> Path:
    return given or context.find_root().params.get("folder") or shop_here()


_folder = click.Path(file_okay=False, path_type=Path)
shop_option = click.option(
    "--shop",
    "folder",
    metavar="DIR",
    type=_folder,
    callback=_named_before,
    help=f"The shop's folder (else {SHOP_VARIABLE}; else here, or the nearest above that has specs).",
)
shop_before_command = click.option(
    "--shop",
    "folder",
    metavar="DIR",
    type=_folder,
    envvar=SHOP_VARIABLE,
    show_envvar=True,
    help="The shop's folder.",
)


def _ids(kind: str) -> Callable[[click.Context, click.Parameter, str], list[str]]:
    """The ids of the shop's records of a kind, for the shell to complete."""

    def of_shop(context: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
        from cardgen.spec.references import ids_in

        folder = context.params.get("folder") or context.find_root().params.get("folder") or shop_here()
        return [name for name in ids_in(folder / "specs", kind) if name.startswith(begun)]

    return of_shop


part_argument = click.argument("part", shell_complete=_ids("part"))
paper_argument = click.argument("named", metavar="PART", shell_complete=_ids("part"))
parts_argument = partial(click.argument, "parts", nargs=-1, shell_complete=_ids("part"))
booklet_argument = click.argument(
    "booklet_id", metavar="[ID]", required=False, shell_complete=_ids("booklet")
)
