# The same fit across engines, the widest first; polars reads the typed Parquet table.
import polars as pl

rows = (
    pl.read_parquet("v1/parquet/clearances.parquet")
    .filter(pl.col("quantity") == "main-bearing-clearance", pl.col("class") == "new", pl.col("lower_si") > 0)
    .with_columns(width=((pl.col("upper_si") - pl.col("lower_si")) * 1e6).round(1))
    .sort("width", "id", descending=[True, False])
)
for engine, lower, upper, unit, width in (
    rows.select("engine", "lower_text", "upper_text", "unit", "width").head(5).iter_rows()
):
    print(f"{engine}: {lower} to {upper} {unit}, {width} um wide")
