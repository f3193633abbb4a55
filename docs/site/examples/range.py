# One engine's range with its page; the standard library alone.
import json
from pathlib import Path

engine = json.loads(Path("v1/engines/cummins-ntc-400.json").read_text(encoding="utf-8"))
for row in engine["ranges"]:
    if row["quantity"] == "main-bearing-clearance":
        unit, page = row["unit"], row["cite"]["text"]
        print(f"{row['lower']} to {row['upper']} {unit}, limit {row['limit']} {unit}, {page}")
