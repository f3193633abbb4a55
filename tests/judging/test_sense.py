    """Every range with a limit of the dataset, and half as far would miss some of most kinds."""
    near: dict[str, list[float]] = {}
    for engine in data.engines:
        for r in (r for t in ("sizes", "clearances") for r in data.all_rows(engine, t)):
            b, quantity = bounds(r, data), data.quantities[r.item]
            end = b.high if b.wears_up else b.low
            if b.limit and end:
                new = replace(b, limit=None)
                off = abs(float(b.limit.loose) - float(end.loose))
                assert off <= farthest(new, quantity), r.id
                near.setdefault(quantity["kind"], []).append(off / farthest(new, quantity))
    assert {k for k, v in near.items() if max(v) > 0.5} >= {"clearance", "gap", "end-play", "size", "form"}
