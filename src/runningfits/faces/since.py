"""What the data changed since a sheet was judged before: an earlier result beside that of today."""

from collections.abc import Iterator
from typing import Any

from . import row_words, words

PRINTED = ("id", "lower", "upper", "nominal", "tolerance", "limit", "unit")
"""What of a range is compared."""


def since(earlier: dict[str, Any], now: dict[str, Any]) -> dict[str, Any]:
    """Versions, whether the sheet is the same, and each fit that is judged otherwise or by another range.

    `earlier` and `now` are results in the form of schema/result.json.
    """
    before = {_key(r): r for r in earlier["results"]}
    there = [(before.get(_key(r)), r) for r in now["results"]]
    changed = [_change(old, new) for old, new in there if old and (_range(old) != _range(new) or _verdict(old, new))]
    gone = [r for k, r in before.items() if k not in {_key(r) for r in now["results"]}]
    return {
        "data_version": earlier["data_version"],
        "same_sheet": earlier["sheet_sha256"] == now["sheet_sha256"],
        "changed": changed,
        "added": [_named(new) for old, new in there if old is None],
        "gone": [_named(r) for r in gone],
    }


def _key(r: dict[str, Any]) -> tuple[str, ...]:
    return r["item"], r["position"], *(f"{k}={v}" for k, v in sorted(r["says"].items()))


def _range(r: dict[str, Any]) -> dict[str, Any]:
    return {k: (r["range"] or {}).get(k) for k in PRINTED}


def _verdict(old: dict[str, Any], new: dict[str, Any]) -> bool:
    return bool(old["verdict"] != new["verdict"])


def _named(r: dict[str, Any]) -> dict[str, str]:
    return {k: r[k] for k in ("item", "label", "position", "place")}


def _change(old: dict[str, Any], new: dict[str, Any]) -> dict[str, Any]:
    return _named(new) | {"then": _told(old), "now": _told(new)}


def _told(r: dict[str, Any]) -> dict[str, Any]:
    page = f" [{r['cite']['text']}]" if r["cite"] else ""
    said = f"{words.verdict_words(r)}, by {row_words.range_words(r['range'])}{page}"
    return {"verdict": r["verdict"], "range": r["range"] and r["range"]["id"], "words": said}


def lines(found: dict[str, Any], now: dict[str, Any]) -> Iterator[str]:
    """The same in words."""
    if not found["same_sheet"]:
        yield "The sheet is not the one that was judged then: its SHA-256 differs."
    versions = f"data {found['data_version']}, now {now['data_version']}"
    if not (found["changed"] or found["added"] or found["gone"]):
        yield f"Judged as then ({versions})."
        return
    yield f"Judged otherwise than then ({versions}):"
    for c in found["changed"]:
        yield f"  {c['label']}, {c['place']}"
        yield f"    then: {c['then']['words']}"
        yield f"    now: {c['now']['words']}"
    for key, said in (("added", "not judged then"), ("gone", "not judged now")):
        yield from (f"  {r['label']}, {r['place']}: {said}" for r in found[key])
