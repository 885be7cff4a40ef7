"""Printable set-up cards and gauge tables for grinding tapers between centres."""


def __getattr__(name: str) -> str:
    """`__version__`, looked up when it is asked for: most commands never do, and it takes as long as they."""
    if name != "__version__":
        raise AttributeError(name)
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("cardgen")
    except PackageNotFoundError:  # run from a checkout that was never installed
        return "0+unknown"
