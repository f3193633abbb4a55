"""Cost study: CPU time of one lookup on the command line, as a ratio to bare Python with click and rich.

Run as `python studies/lookup_cost.py`; both are started in turn, many times, in one run.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile

ROUNDS, GOAL = 15, 1.7
CLI = "from runningfits.cli import main; main()"
LOOKUP = [sys.executable, "-c", CLI, "show", "cummins-ntc-400", "--item", "main-bearing-clearance"]
BARE = [sys.executable, "-c", "import click, rich"]
PASS = [sys.executable, "-c", "pass"]


def cpu(command: list[str], compiled: str) -> float:
    """CPU seconds, user and system, of a command whose modules are compiled in a folder, as after a first run."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {"PYTHONPYCACHEPREFIX": compiled}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=env)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the medians and the ratios."""
    with tempfile.TemporaryDirectory() as compiled:
        for command in (LOOKUP, BARE, PASS):
            cpu(command, compiled)
        rounds = [(cpu(LOOKUP, compiled), cpu(BARE, compiled), cpu(PASS, compiled)) for _ in range(ROUNDS)]
    lookup, bare, nothing = (statistics.median(times) for times in zip(*rounds, strict=True))
    print(f"lookup {1000 * lookup:.0f} ms, click and rich {1000 * bare:.0f} ms, python alone {1000 * nothing:.0f} ms")
    print(f"ratio to python with click and rich: {statistics.median(a / b for a, b, _ in rounds):.2f} (goal {GOAL})")


if __name__ == "__main__":
    main()
