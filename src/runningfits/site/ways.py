"""Tools and the ways of measuring with them, by what is measured."""

from ..dataset import Dataset

UNITS = {"length": "mm", "torque": "N.m"}
"""Dimensions for which ways are known, each with the unit of its numbers."""

FINE = {"resolution": "0.0001", "unit": "in"}

TOOLS = {
    "mic": {"instrument": "outside-micrometer"},
    "mic-fine": {"instrument": "outside-micrometer", **FINE},
    "bore": {"instrument": "bore-gauge", "set_on": "mic"},
    "bore-fine": {"instrument": "bore-gauge", **FINE, "set_on": "mic-fine"},
    "hole": {"instrument": "small-hole-gauge", "set_on": "mic"},
    "hole-fine": {"instrument": "small-hole-gauge", **FINE, "set_on": "mic-fine"},
    "tube": {"instrument": "tube-micrometer"},
    "tube-fine": {"instrument": "tube-micrometer", **FINE},
    "depth": {"instrument": "depth-micrometer"},
    "inside": {"instrument": "inside-micrometer"},
    "caliper": {"instrument": "caliper"},
    "caliper-inside": {"instrument": "caliper-inside-depth"},
    "dial": {"instrument": "dial-indicator"},
    "dial-short": {"instrument": "dial-indicator-0-1"},
    "bridge": {"instrument": "dial-on-bridge", "dial": "dial-indicator-0-1"},
    "rule": {"instrument": "scale-rule"},
    "feeler": {"instrument": "feeler-gauge", "resolution": "0.001", "unit": "in"},
    "strip": {"instrument": "strip", "resolution": "0.0005", "unit": "in"},
    "wrench": {"instrument": "torque-wrench"},
}
"""Instruments as a bench sheet lists them; what is not said here is the class's own.

The steps of inch micrometers, feelers and strips are common practice. `dial` names the class whose limit counts.
"""

WAYS = {
    "bore-mic": ("bore gauge minus the micrometer that set it, both to 0.01 mm", {"bore": "bore", "shaft": "mic"}),
    "bore-mic-fine": (
        "bore gauge minus the micrometer that set it, both to 0.0001 in",
        {"bore": "bore-fine", "shaft": "mic-fine"},
    ),
    "hole-mic": ("small-hole gauge read by micrometer, minus it, to 0.01 mm", {"bore": "hole", "shaft": "mic"}),
    "hole-mic-fine": (
        "small-hole gauge read by micrometer, minus it, to 0.0001 in",
        {"bore": "hole-fine", "shaft": "mic-fine"},
    ),
    "caliper-both": ("caliper, inside jaws minus outside jaws", {"bore": "caliper-inside", "shaft": "caliper"}),
    "mic": ("outside micrometer, to 0.01 mm", {"shaft": "mic"}),
    "mic-fine": ("outside micrometer, to 0.0001 in", {"shaft": "mic-fine"}),
    "bore": ("bore gauge set on a micrometer, to 0.01 mm", {"bore": "bore"}),
    "bore-fine": ("bore gauge set on a micrometer, to 0.0001 in", {"bore": "bore-fine"}),
    "hole": ("small-hole gauge read by micrometer, to 0.01 mm", {"bore": "hole"}),
    "hole-fine": ("small-hole gauge read by micrometer, to 0.0001 in", {"bore": "hole-fine"}),
    "tube": ("tube micrometer, to 0.01 mm", {"shaft": "tube"}),
    "tube-fine": ("tube micrometer, to 0.0001 in", {"shaft": "tube-fine"}),
    "depth": ("depth micrometer, to 0.01 mm", {"gap": "depth"}),
    "inside": ("inside micrometer, to 0.01 mm", {"bore": "inside"}),
    "caliper": ("caliper, outside jaws", {"shaft": "caliper"}),
    "caliper-inside": ("caliper, inside jaws", {"bore": "caliper-inside"}),
    "caliper-depth": ("caliper, depth rod", {"gap": "caliper-inside"}),
    "dial": ("dial to 0.01 mm, travel 5 to 10 mm", {"gap": "dial"}),
    "dial-short": ("dial to 0.01 mm, travel up to 1 mm", {"gap": "dial-short"}),
    "bridge": ("dial to 0.01 mm, travel up to 1 mm, on a bridge", {"gap": "bridge"}),
    "rule": ("steel rule", {"gap": "rule"}),
    "feeler": ("feeler, leaves 0.001 in apart", {"gap": "feeler"}),
    "strip": ("strip, read between marks 0.0005 in apart", {"strip": "strip"}),
    "wrench": ("torque wrench of class A", {"gap": "wrench"}),
}
"""Ways of measuring: words, and which tool reads which part."""

PAIRS = {
    "bore-gauge": ("bore-mic", "bore-mic-fine", "caliper-both"),
    "small-hole-gauge": ("hole-mic", "hole-mic-fine"),
    "inside-micrometer": ("caliper-both",),
    "feeler-gauge": ("feeler",),
}
"""Ways for what lies between a bore and a shaft, by the quantity's usual instrument."""

SINGLES = {
    "outside-micrometer": ("mic", "mic-fine", "caliper"),
    "bore-gauge": ("bore", "bore-fine", "caliper-inside"),
    "small-hole-gauge": ("hole", "hole-fine"),
    "dial-indicator": ("dial", "dial-short"),
    "feeler-gauge": ("feeler",),
    "dial-on-bridge": ("bridge", "caliper-depth"),
    "depth-micrometer": ("depth", "caliper-depth"),
    "inside-micrometer": ("inside", "caliper-inside"),
    "tube-micrometer": ("tube", "tube-fine"),
    "caliper": ("caliper",),
    "scale-rule": ("rule", "caliper"),
    "torque-wrench": ("wrench",),
}
"""Ways for one part or one gap."""

PLAY = ("dial", "dial-short", "feeler")
"""Ways for a play from stop to stop."""


def ways(name: str, data: Dataset) -> tuple[str, ...]:
    """Names of the ways in which a quantity or joint is usually measured; raises ValueError where there is none.

    Out-of-round and taper go without the caliper, whose jaws do not show them.
    """
    if name in data.joints:
        return SINGLES["torque-wrench"]
    if name not in data.quantities:
        raise ValueError(f'"{name}" is neither a quantity nor a joint of the dataset')
    quantity, pair = data.quantities[name], paired(name, data)
    found = (PAIRS if pair else SINGLES).get(quantity["instrument"], ())
    if quantity["dimension"] not in UNITS or not found:
        raise ValueError(f'no way of measuring "{name}" is known: {quantity["instrument"]}, {quantity["dimension"]}')
    backlash = quantity["kind"] == "backlash" and quantity["instrument"] == "dial-indicator"
    if backlash or quantity["method"] == "total-travel":
        return PLAY
    if quantity["kind"] == "form":
        return tuple(w for w in found if not w.startswith("caliper"))
    return (*found, "strip") if pair and _has_shells(quantity, data) else found


def paired(name: str, data: Dataset) -> bool:
    """Whether a quantity is taken as the difference of a bore and a shaft."""
    quantity = data.quantities.get(name, {"outer": "", "inner": "", "kind": ""})
    return bool(quantity["outer"] and quantity["inner"]) and quantity["kind"] != "end-play"


def _has_shells(quantity: dict[str, str], data: Dataset) -> bool:
    """Whether the bore is made by shells in a split housing, where a strip can lie."""
    return any(data.quantities[outer]["walls"] for outer in quantity["outer"].split())
