"""Spoilt input by the thousand, each mutant tried in this process.

    python -m tests.fuzz --count 20000 --seed 7       one core, about fifty mutants a second
    python -m tests.fuzz --seed 7 --only 4711         one again, its trace shown

No mutant may end in an exception, take two seconds of computing or 300 MB, give a card to an invalid spec, or
print a figure that a real piece belies. Ends with exit status 1 where one did, and names it.
"""

import argparse
import contextlib
import sys
import time
from random import Random

from tests.conftest import put_the_checkout_last
from tests.fuzz.trial import KINDS, Bench

TOLD_EVERY = 1000


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz")
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--seed", default="1")
    parser.add_argument("--only", type=int)
    given = parser.parse_args()
    put_the_checkout_last()
    bench = Bench(given.seed)
    if given.only is not None:
        rng = Random(f"{given.seed}/{given.only}")
        kind = rng.choices(list(KINDS), [weight for weight, _ in KINDS.values()])[0]
        print(kind, KINDS[kind][1](bench, rng))
        return
    start = time.process_time()
    tried = 0
    with contextlib.suppress(KeyboardInterrupt):  # what was tried is told all the same
        for tried in range(1, given.count + 1):
            told = len(bench.found)
            bench.run(tried - 1)
            for fault in bench.found[told:]:
                print(fault, flush=True)
            if tried % TOLD_EVERY == 0:
                print(f"{tried} mutants, {time.process_time() - start:.0f} s", flush=True)
    for became, times in sorted(bench.became.items()):
        print(f"{times:8} {became}")
    print(f"{tried} mutants, {time.process_time() - start:.0f} s, {len(bench.found)} faults")
    sys.exit(bool(bench.found))


if __name__ == "__main__":
    main()
