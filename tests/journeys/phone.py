"""A builder on a phone of 360 pixels: from the first page to a verdict, with a finger.

Main bearing 1 of the rescue launch's engine, a bore gauge and a micrometer.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from .walking import Step

ENGINE, MODEL = "cummins-ntc-400", "big-cam-iii"
BORE, SHAFT = "4.5026", "4.4992"
SCREEN = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True, "device_scale_factor": 2}


@dataclass
class Phone:
    """The page in his hand, and what went wrong on it."""

    page: Any
    address: str
    faults: list[str] = field(default_factory=list)

    def tap(self, key: str) -> None:
        """Tap what the bench calls by a key."""
        self.page.locator(f'[data-focus="{key}"]').tap()

    def read(self, text: str) -> None:
        """Enter a reading on the pad."""
        for digit in text:
            self.tap(f"pad/{digit}")
        self.tap("pad/next")

    def find(self, words: str) -> Any:
        """Type into the field of the page, and wait until it has looked."""
        self.page.locator("#find").tap()
        self.page.keyboard.type(words)
        self.page.locator("#found:has-text('line')").wait_for()


@contextmanager
def phone(chromium: Any, address: str) -> Iterator[Phone]:
    """A phone with an empty browser; `address` is that of the site."""
    context = chromium.new_context(**SCREEN)
    found = Phone(context.new_page(), address)
    found.page.on("pageerror", lambda e: found.faults.append(str(e)))
    found.page.on("console", lambda m: found.faults.append(m.text) if m.type == "error" else None)
    found.page.set_default_timeout(8000)
    yield found
    context.close()


def open_site(at: Phone) -> None:
    at.page.goto(f"{at.address}/index.html")
    assert at.page.locator(".rf-bar a:visible").all_inner_texts() == ["Engines", "Fits", "Bench", "Search"]


def find_engine(at: Phone) -> None:
    at.page.locator(".rf-bar a", has_text="Engines").tap()
    at.page.wait_for_url("**/engines/index.html")
    at.find("ntc 400")
    there = at.page.locator(".rf-engines > li:visible")
    assert there.count() == 1
    there.locator("a").first.tap()
    at.page.wait_for_url(f"**/engines/{ENGINE}.html")


def find_fit(at: Phone) -> None:
    at.page.select_option("select[name=model]", MODEL)
    at.find("main bearing oil")
    row = at.page.locator(".rf-lines tbody tr:visible")
    assert row.count() == 1
    row.scroll_into_view_if_needed()
    at.page.wait_for_function("row => row.innerText !== ''", arg=row.element_handle())
    told = row.inner_text()
    assert all(words in told for words in ("0.0015 to 0.005 in", "0.007 in", "TM 9-2815-225-34&P, F-2"))


def open_bench(at: Phone) -> None:
    at.page.get_by_role("link", name="Judge readings on the bench").tap()
    at.page.wait_for_url(f"**/bench.html#{ENGINE}*")
    at.page.locator(f'[data-focus="Model/{MODEL}"][aria-pressed=true]').wait_for()
    at.tap("build/done")
    at.tap("fit/main-bearing-clearance/1")


def set_tools(at: Phone) -> None:
    """A gauge and a micrometer that read to a ten-thousandth, with their limits of error."""
    for part in ("bore", "shaft"):
        at.tap(f"Measured/{part}")
        if not at.page.locator('[data-focus="tool/mpe"]').is_visible():
            at.tap("tool")
        at.page.locator('[data-focus="tool/unit"]').select_option("in")
        for name in ("resolution", "mpe"):
            at.page.locator(f'[data-focus="tool/{name}"]').fill("0.0001")
            at.page.locator(f'[data-focus="tool/{name}"]').press("Tab")


def enter_readings(at: Phone) -> None:
    at.tap("Measured/bore")
    at.read(BORE)
    at.tap("Measured/shaft")
    at.read(SHAFT)


def see_verdict(at: Phone) -> None:
    """In sight, in the trade's words, with the page, and the screen has not grown wider than the phone."""
    verdict = at.page.locator(".bench-verdict").first
    assert verdict.inner_text() == "in the new range"
    verdict.scroll_into_view_if_needed()
    card = at.page.locator(".bench-card").first.inner_text()
    assert "0.0034" in card and "F-2" in card
    assert at.page.evaluate("document.documentElement.scrollWidth") == SCREEN["viewport"]["width"]
    assert at.faults == []


STEPS: tuple[Step[Phone], ...] = (
    ("open the site", open_site),
    ("find the engine", find_engine),
    ("find the fit and its page", find_fit),
    ("open the bench at the fit", open_bench),
    ("say with what is measured", set_tools),
    ("enter two readings on the pad", enter_readings),
    ("see the verdict", see_verdict),
)
