"""What can go wrong on the shelf, each said in one line that a person can act on."""


class ShelfError(Exception):
    """A card could not be kept: what happened, what still stands, what to do."""


class NotACardError(ShelfError):
    """The bytes read are no card of this program, or too damaged to tell."""


class NotDrawnError(ShelfError):
    """A job's `draw` raises this when its own paper cannot be drawn; the other jobs go on."""


class ProgramFaultError(NotDrawnError):
    """The program itself failed at one paper: where, and how to report it; the other jobs go on."""


class NoSuchShopError(ShelfError):
    """The folder is no shop: what is missing, and what to do."""
