"""How commands end: whatever the terminal, the disk, the pipe or the data folder, one sentence and the right status."""

import codecs
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from runningfits import cli
from runningfits.commands import ending

from ..broken import dataset

COMMAND = [sys.executable, "-m", "runningfits"]
GOOD = Path(__file__).parent.parent / "broken" / "sheet.json"
SHOW = ["show", "cummins-ntc-400", "--item", "main-bearing-clearance"]


def run(*arguments: str, **more: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([*COMMAND, *arguments], capture_output=True, env=os.environ | more, check=False)


def in_shell(line: str) -> subprocess.CompletedProcess[str]:
    """A line of a shell in which `rf` is the command."""
    script = f"rf() {{ '{COMMAND[0]}' -m runningfits \"$@\"; }}\nset -o pipefail\n{line}"
    return subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=False)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1"])
def test_a_terminal_that_lacks_letters(encoding: str) -> None:
    words = run("check", str(GOOD), PYTHONIOENCODING=encoding)
    assert (words.returncode, words.stderr) == (0, b"")
    assert "±".encode(encoding, "ignore") or b"\\u00b1" in words.stdout
    values = run("check", str(GOOD), "--json", PYTHONIOENCODING=encoding)
    assert json.loads(values.stdout.decode(encoding)) == json.loads(run("check", str(GOOD), "--json").stdout)


def test_letters_beyond_the_first_plane_are_escaped_as_json_does() -> None:
    text = "°\U0001f527\udcff"
    codecs.register_error(ending.ESCAPES, ending.escaped)
    assert text.encode("ascii", ending.ESCAPES) == json.dumps(text)[1:-1].encode()


def test_a_name_that_is_no_text() -> None:
    done = in_shell("rf check $'\\xff.json'")
    assert (done.returncode, done.stderr) == (
        2,
        "runningfits: \\udcff.json: no such file, expected a bench sheet, JSON, XLSX or CSV\n",
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize(
    "command", ["show cummins-ntc-400", f"check {GOOD}", f"check --json {GOOD}", "--help", "engines"]
)
def test_a_full_disk(command: str) -> None:
    done = in_shell(f"rf {command} > /dev/full")
    assert (done.returncode, done.stderr) == (2, "runningfits: the output: No space left on device\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_device_for_a_report_stays_a_device() -> None:
    done = in_shell(f"rf check {GOOD} --report /dev/full")
    assert (done.returncode, done.stderr) == (2, 'runningfits: /dev/full: a report is .html, not ""\n')
    assert Path("/dev/full").is_char_device()


@pytest.mark.parametrize("command", ["show cummins-ntc-400", f"check {GOOD}", "--help", "show --help"])
def test_a_reader_that_goes(command: str) -> None:
    done = in_shell(f"rf {command} | true")
    assert (done.returncode, done.stderr) == (ending.CLOSED_PIPE, "")


@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
def test_a_stream_that_is_closed(closed: str) -> None:
    assert in_shell(f"rf {' '.join(SHOW)} {closed}").returncode == 0
    assert in_shell(f"rf show none {closed}").returncode == 2


def test_a_fault_of_the_program_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object) -> None:
        raise ZeroDivisionError("no such luck")

    monkeypatch.setattr("runningfits.judging.judge.check", fault)
    result = CliRunner().invoke(cli.main, ["check", str(GOOD)])
    assert (result.exit_code, result.stdout) == (ending.FAULT, "")
    assert result.stderr.startswith(
        "runningfits: a fault of the program (ZeroDivisionError: no such luck in test_ending"
    )
    assert len(result.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("error", "status"), [(MemoryError(), 2), (KeyboardInterrupt(), ending.STOPPED), (RecursionError(), 3)]
)
def test_what_else_can_end_a_command(error: BaseException, status: int, monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object) -> None:
        raise error

    monkeypatch.setattr("runningfits.judging.judge.check", fault)
    result = CliRunner().invoke(cli.main, ["check", str(GOOD)])
    assert result.exit_code == status
    assert "Traceback" not in result.stderr


SIZES = dataset.path_of("sizes")
BROKEN = {
    "no-file": ("quantities.csv", None, "quantities.csv"),
    "no-manifest": ("datapackage.json", None, "datapackage.json"),
    "manifest-of-nothing": ("datapackage.json", lambda raw: b"", "datapackage.json"),
    "manifest-too-deep": ("datapackage.json", lambda raw: b"[" * 100_000, "datapackage.json"),
    "manifest-without-version": ("datapackage.json", lambda raw: b"{}", "datapackage.json"),
    "not-utf-8": (SIZES, lambda raw: raw.replace(b"twice", b"tw\xffce", 1), f"{SIZES}:2"),
    "half-a-line": (SIZES, lambda raw: raw[:-30], f"{SIZES}:4"),
    "open-quote": (SIZES, lambda raw: raw.replace(b"main-journal", b'"main-journal', 1), f"{SIZES}:4"),
    "a-column-renamed": (SIZES, lambda raw: raw.replace(b"lower", b"least", 1), f"{SIZES}:1"),
    "a-word-for-a-number": (SIZES, lambda raw: raw.replace(b"2.4990", b"about", 1), f"{SIZES}:4:lower"),
    "a-source-that-is-none": (SIZES, lambda raw: raw.replace(b",example,", b",nothing,"), f"{SIZES}:2:page"),
    "a-quantity-that-is-none": (
        SIZES,
        lambda raw: raw.replace(b"main-journal-diameter", b"main-nothing"),
        f"{SIZES}:4",
    ),
    "a-unit-that-is-none": (SIZES, lambda raw: raw.replace(b",in,", b",inch,"), f"{SIZES}:2:unit"),
    "a-factor-that-is-none": ("units.csv", lambda raw: raw.replace(b"0.0254", b"2/0"), "units.csv:"),
    "an-order-that-is-none": (
        "quantities.csv",
        lambda raw: raw.replace(b"\nmain-bearing-clearance,", b"\nmain-bearing-clearance,x,"),
        "quantities.csv:",
    ),
    "cylinders-in-words": (
        dataset.path_of("models"),
        lambda raw: raw.replace(b",4,", b",four,", 1),
        "models.csv:2:cylinders",
    ),
    "null-bytes": ("positions.csv", lambda raw: bytes(2000), "positions.csv:1"),
}
COMMANDS = (
    ["show", dataset.ENGINE],
    ["show", dataset.ENGINE, "--json"],
    ["engines"],
    ["sheet", dataset.ENGINE, "-o", "out.xlsx"],
    ["check", "sheet.json"],
)


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return dataset.make(tmp_path_factory.mktemp("good") / "data")


@pytest.mark.parametrize("name", BROKEN)
def test_a_faulty_data_folder(name: str, good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, edit, place = BROKEN[name]
    data = shutil.copytree(good, tmp_path / "data")
    if edit:
        (data / file).write_bytes(edit((data / file).read_bytes()))
        assert (data / file).read_bytes() != (good / file).read_bytes(), "the edit changes something"
    else:
        (data / file).unlink()
    sheet = json.loads(GOOD.read_text(encoding="utf-8")) | {"engine": dataset.ENGINE, "torques": []}
    sheet["readings"] = sheet["readings"][:1]
    (tmp_path / "sheet.json").write_text(json.dumps(sheet), encoding="utf-8")
    for module in ("ending", "named"):
        monkeypatch.setattr(f"runningfits.commands.{module}.folder", lambda name: data)
    monkeypatch.chdir(tmp_path)
    told = []
    for command in COMMANDS:
        result = CliRunner().invoke(cli.main, command)
        assert result.exit_code in (0, 1, 2), (command, result.stderr)
        assert "a fault of the program" not in result.stderr
        told.append(result.stderr)
    assert any(str(data) in text and place in text for text in told), told
