"""Printable set-up cards and gauge tables for grinding tapers between centres."""

from importlib.metadata import PackageNotFoundError, version

try:
    __version__ = version("cardgen")
except PackageNotFoundError:  # run from a checkout that was never installed
    __version__ = "0+unknown"
