"""Write anew what is told of each mistake of the catalogue, on purpose: `python -m tests.spec.mistakes`."""

from tests.spec.mistakes import CATALOGUE, HERE, told, written

for stem, each in CATALOGUE.items():
    for mistake in each:
        mistake.told = told(written(mistake))
    text = "\n".join(line for mistake in each for line in mistake.lines)
    (HERE / f"{stem}.txt").write_text(text, "utf-8")
