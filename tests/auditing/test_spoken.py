"""Prepared tables of what rows speak of."""

from runningfits.auditing import prepare
from runningfits.auditing.load import load
from runningfits.places import folder


def test_words_of_every_table_that_speaks_of_something_are_there() -> None:
    base = prepare.prepare(load(folder("data")), {})
    spoken = set(base.execute('SELECT DISTINCT "table", "column" FROM spoken'))
    cited = {t for (t,) in base.execute("SELECT DISTINCT substr(file, instr(file, '/') + 1) FROM cited")}
    base.close()
    rows = {(t, c) for t in ("sizes", "clearances", "torques") for c in ("which", "applies")}
    assert spoken == rows | {("sequences", "applies"), ("covers", "applies"), ("models", "has")}
    assert {name.rpartition("/")[2] for name in cited} >= {"sizes.csv", "clearances.csv", "torques.csv"}
