"""Hostile bench sheets, workbooks and data folders: each made from a good one by a few seeded edits."""

import io
import json
import random
import re
import shutil
import zipfile
from pathlib import Path
from typing import Any

WORDS: tuple[Any, ...] = (
    *(
        "",
        " ",
        "0",
        "-0",
        "-1",
        "1e5",
        "1E-400",
        "NaN",
        "inf",
        "0x1f",
        "1,5",
        "1_000",
        "٢٫٤",
        "9" * 19,
        "9" * 5000,
        "0." + "0" * 400,
    ),
    *(
        "=1+1",
        "@SUM(A1)",
        "-a",
        "+1",
        "'",
        '"',
        "\\",
        "/",
        "../../etc",
        "%s%n",
        "{0}",
        "${x}",
        "[bold]",
        "<script>",
        "&amp;",
    ),
    *(
        "\x00",
        "\x1b[2J",
        "\u202e",
        "\ufeff",
        "\ud800",
        "\U0001f527",
        "é" * 600,
        "a" * 200_000,
        "\n",
        "\r\n",
        "\t",
        "\u2028",
    ),
    *(
        "all",
        "1-9999999",
        "1-2-3",
        "5-1",
        "1,1,1",
        "0",
        "rear/rear",
        "99999999/top-ring",
        "new",
        "unknown",
        "standard",
        "other",
    ),
    *(
        "in",
        "mm",
        "lbf.ft",
        "K",
        "degC",
        "-300 degC",
        "21 C",
        "1e3 mm",
        "-0.25 mm",
        "crankpin",
        "cylinder",
        "guarded",
        "assembled",
    ),
    *(
        None,
        True,
        False,
        0,
        -1,
        1,
        2**63,
        10**30,
        1.5,
        -0.0,
        [],
        {},
        [[]],
        [None],
        {"": ""},
        {"all": {"all": "all"}},
        ["a"] * 1000,
    ),
)
"""What may stand in any place of a sheet."""

TOKENS = (
    *(
        "1e99999999999999999999",
        "-1E-99999999999999999999",
        "9" * 5000,
        "NaN",
        "-Infinity",
        "nul",
        "tru",
        "'a'",
        "[" * 20_000,
    ),
    *(
        '{"a":' * 5000,
        "//",
        "/* */",
        "\\u12",
        '"\\ud800"',
        '"a": 1, "a": 2',
        "\x00",
        "\ufeff",
        ",",
        ":",
        "}",
        "]",
        '"',
        "01",
        "1.",
        ".5",
        "+1",
    ),
)
"""What may stand anywhere in the text of a JSON document."""

CELLS = (
    *(str(w) for w in WORDS if not isinstance(w, str) or len(w) < 1000),
    "a,b",
    '"',
    '"a',
    'a"b',
    "a\nb",
    "1/0",
    "2/3",
    "-1/2",
)
"""What may stand in a cell of a table."""


def sheet(dice: random.Random, good: dict[str, Any]) -> bytes:
    """Text of a bench sheet with one to four values that do not belong there."""
    values = json.loads(json.dumps(good))
    for _ in range(dice.randint(1, 4)):
        _disturb(dice, values)
    return json.dumps(values, ensure_ascii=dice.random() < 0.5).encode("utf-8", "surrogatepass")


def _disturb(dice: random.Random, values: Any) -> None:
    """Change, drop, double or rename one value somewhere in a sheet."""
    while True:
        keys = list(values) if isinstance(values, dict) else list(range(len(values)))
        if not keys:
            return
        key = dice.choice(keys)
        if isinstance(values[key], dict | list) and values[key] and dice.random() < 0.85:
            values = values[key]
            continue
        break
    act = dice.randrange(6)
    if act == 0:
        del values[key]
    elif act == 1 and isinstance(values, list):
        values.extend([values[key]] * dice.choice((1, 2, 300)))
    elif act == 2 and isinstance(values, dict):
        values[str(dice.choice(WORDS))[:300]] = values.pop(key)
    elif act == 3:
        values[key] = values[dice.choice(keys)]
    else:
        values[key] = dice.choice(WORDS)


def text(dice: random.Random, good: bytes) -> bytes:
    """Bytes of a document with one to five of them changed, or another token among them."""
    for _ in range(dice.randint(1, 5)):
        at, act = dice.randrange(len(good) + 1), dice.randrange(7)
        if act == 0:
            good = good[:at]
        elif act == 1:
            good = good[:at] + dice.randbytes(dice.choice((1, 3, 50))) + good[at:]
        elif act == 2:
            good = good[:at] + good[at + dice.choice((1, 2, 30)) :]
        elif act == 3:
            good = good[:at] + good[at // 2 :]
        elif act == 4 and dice.random() < 0.2:
            other = dice.choice(("utf-16", "utf-32", "utf-8-sig", "cp037"))
            good = good.decode("utf-8", "replace").encode(other, "replace")
        else:
            good = good[:at] + dice.choice(TOKENS).encode("utf-8", "surrogatepass") + good[at:]
        if not good:
            break
    return good


def workbook(dice: random.Random, good: bytes) -> bytes:
    """A workbook with damaged bytes, or with parts whose XML was changed."""
    if dice.random() < 0.3:
        return text(dice, good)
    out, chosen = io.BytesIO(), dice.random()
    with zipfile.ZipFile(io.BytesIO(good)) as old, zipfile.ZipFile(out, "w", dice.choice((0, 8, 8, 14))) as new:
        hit = dice.choice(old.namelist()) if chosen < 0.4 else f"xl/worksheets/sheet{dice.randint(1, 3)}.xml"
        for name in old.namelist():
            content = old.read(name)
            if name != hit:
                new.writestr(name, content)
            elif dice.random() > 0.05:
                new.writestr(name, _marks(dice, content))
    return out.getvalue()


def _marks(dice: random.Random, content: bytes) -> bytes:
    """A part with a mark, an attribute or a text exchanged."""
    for _ in range(dice.randint(1, 3)):
        places = list(re.finditer(rb'"[^"<>]*"|>[^<>]*<|</?\w+', content))
        if not places:
            return content
        at, word = dice.choice(places), str(dice.choice(WORDS))[:2000].encode("utf-8", "replace")
        if at[0][:1] == b"<":
            word = dice.choice((b"<c", b"</row", b"<mergeCell", b"<f", b"<is", b"<!DOCTYPE a", b"<a:b", word))
        else:
            ends = at[0][:1], at[0][-1:]
            word = ends[0] + dice.choice((b"A1", b"XFD1048576", b"A1:XFD1048576", b"d", b"e", b"1e308", word)) + ends[1]
        content = content[: at.start()] + word + content[at.end() :]
    return content


def folder(dice: random.Random, good: Path, target: Path) -> Path:
    """A copy of a data folder with one to three files that are damaged, gone, or something else."""
    shutil.copytree(good, target)
    files = sorted(p for p in target.rglob("*") if p.is_file())
    for path in dice.sample(files, dice.randint(1, 3)):
        act = dice.random()
        if act < 0.05:
            path.unlink()
        elif act < 0.08:
            path.unlink()
            path.mkdir()
        elif act < 0.3 or path.suffix == ".json":
            path.write_bytes(text(dice, path.read_bytes()))
        else:
            _cells(dice, path)
    return target


def _cells(dice: random.Random, path: Path) -> None:
    """Exchange cells, lines or the header of a table."""
    lines = [line.split(",") for line in path.read_text(encoding="utf-8").split("\n")]
    for _ in range(dice.randint(1, 3)):
        line = dice.choice(lines)
        act = dice.randrange(6)
        if act == 0:
            lines.append(list(line))
        elif act == 1 and len(lines) > 1:
            lines.remove(line)
        elif act == 2:
            line[dice.randrange(len(line))] = dice.choice(dice.choice(lines))
        else:
            line[dice.randrange(len(line))] = dice.choice(CELLS)
    path.write_bytes("\n".join(",".join(line) for line in lines).encode("utf-8", "surrogatepass"))
