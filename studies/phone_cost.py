"""Cost of a first visit on a phone: time until load, bytes and requests of engine pages, network and processor slowed.

`python studies/phone_cost.py SITE --write docs/phone-study.md` serves a built site from this machine, opens pages of
engines that a seed chooses in Chromium without a screen and writes the table. Run by hand on a quiet machine: what else
runs counts as the phone's own slowness.
"""

import argparse
import functools
import os
import random
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Browser, sync_playwright

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = ["--disable-features=WebUIOmniboxPopup,WebUIOmniboxAimPopup"]
"""Without the list of a desktop's address bar: 400 scripts of its own at every new window, which no phone has."""
ROUND_TRIP, DOWN, UP = 150, 1_600_000 // 8, 750_000 // 8
"""A phone's network: milliseconds there and back, bytes a second down and up."""
SLOWER = 4
"""How many times slower the phone's processor is taken to be than this machine's."""
SCREEN = {"width": 360, "height": 780}
GOAL_SECONDS, GOAL_BYTES, GOAL_REQUESTS = 1.5, 200_000, 6


@dataclass(frozen=True)
class Visit:
    """One first visit: seconds until load, bytes and requests until then."""

    seconds: float
    size: int
    requests: int


class Quiet(SimpleHTTPRequestHandler):
    """Files of a folder as they are, uncompressed, over connections that stay open."""

    protocol_version = "HTTP/1.1"

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@contextmanager
def served(site: Path) -> Iterator[str]:
    """Address of a built site on this machine."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(site)))
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()


def visit(browser: Browser, address: str) -> Visit:
    """A first visit to a page: nothing is kept from an earlier one."""
    context = browser.new_context(viewport=SCREEN, is_mobile=True, has_touch=True, service_workers="block")
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    speed = {"latency": ROUND_TRIP, "downloadThroughput": DOWN, "uploadThroughput": UP}
    session.send("Network.emulateNetworkConditions", {"offline": False, **speed})
    sizes: list[int] = []
    session.on("Network.loadingFinished", lambda told: sizes.append(int(told["encodedDataLength"])))
    page.goto(address, wait_until="load")
    page.wait_for_function("performance.getEntriesByType('navigation')[0].loadEventEnd > 0")
    seconds = page.evaluate("performance.getEntriesByType('navigation')[0].loadEventEnd") / 1000
    context.close()
    return Visit(seconds, sum(sizes), len(sizes))


def middle(visits: Sequence[Visit]) -> Visit:
    """The visit of middle time, with the most bytes and requests that any had."""
    return Visit(median(v.seconds for v in visits), max(v.size for v in visits), max(v.requests for v in visits))


def measured(site: Path, names: Sequence[str], times: int) -> Iterator[tuple[str, Visit]]:
    """Each page with its middle visit."""
    with served(site) as base, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        visit(browser, f"{base}/index.html")
        for name in names:
            yield name, middle([visit(browser, f"{base}/engines/{name}.html") for _ in range(times)])
        browser.close()


def report(found: Sequence[tuple[str, Visit]], seed: int, times: int, of: int) -> Iterator[str]:
    """The study in Markdown."""
    yield "# First visit to an engine's page on a phone"
    yield ""
    yield (
        f"{len(found)} of {of} engines, chosen by seed {seed}, and the engine with the largest page; the middle of "
        f"{times} first visits each, nothing kept. Chromium without a screen, {SCREEN['width']} px wide, processor "
        f"slowed {SLOWER} times, {ROUND_TRIP} ms there and back, {DOWN * 8 / 1e6:.1f} Mbit/s down; served "
        f"uncompressed from the same machine, without the service worker, which starts after load. "
        f"{os.cpu_count()} processors with {os.getloadavg()[1]:.1f} programs at work, these visits among them."
    )
    yield f"Wanted: load within {GOAL_SECONDS} s, at most {GOAL_BYTES // 1000} kB and {GOAL_REQUESTS} requests."
    yield ""
    yield "| engine's page | until load, s | kB | requests |"
    yield "| --- | --- | --- | --- |"
    for name, one in found:
        yield f"| {name} | {one.seconds:.2f} | {one.size / 1000:.0f} | {one.requests} |"
    every = [one for _, one in found]
    met = sum(v.seconds <= GOAL_SECONDS for v in every)
    small = sum(v.size <= GOAL_BYTES and v.requests <= GOAL_REQUESTS for v in every)
    yield ""
    yield (
        f"Median {median(v.seconds for v in every):.2f} s, slowest {max(v.seconds for v in every):.2f} s. Within "
        f"the time: {met} of {len(every)}; within bytes and requests: {small} of {len(every)}."
    )
    yield f"Written by `python studies/phone_cost.py SITE --engines {len(found) - 1} --seed {seed} --times {times}`."


def chosen(site: Path, number: int, seed: int) -> tuple[list[str], int]:
    """Engines that a seed chooses and the one with the largest page, and how many there are."""
    pages = sorted(p for p in (site / "engines").glob("*.html") if p.stem != "index")
    largest = max(pages, key=lambda p: p.stat().st_size)
    rest = [p for p in pages if p != largest]
    some = random.Random(seed).sample(rest, min(number, len(rest)))
    return [p.stem for p in (*sorted(some), largest)], len(pages)


def main() -> None:
    """Print or write the table."""
    asked = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    asked.add_argument("site", type=Path, help="folder of a built site")
    asked.add_argument("--engines", type=int, default=15)
    asked.add_argument("--seed", type=int, default=20)
    asked.add_argument("--times", type=int, default=3)
    asked.add_argument("--write", type=Path, help="file for the table")
    given = asked.parse_args()
    names, of = chosen(given.site, given.engines, given.seed)
    found = list(measured(given.site, names, given.times))
    told = "\n".join(report(found, given.seed, given.times, of)) + "\n"
    if given.write:
        given.write.write_text(told, encoding="utf-8")
    print(told, end="")


if __name__ == "__main__":
    main()
