"""`python -m cardgen` is the command `cardgen`."""

from cardgen.commands.program import main

main()
