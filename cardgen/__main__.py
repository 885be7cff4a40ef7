"""`python -m cardgen` is the command `cardgen`."""

from cardgen.cli import main

main()
