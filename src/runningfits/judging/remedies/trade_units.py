"""Remedies of valve train, gears, pins, camshaft, pumps and turbocharger, as lines of the trade's table.

Common practice (see docs/judging.md); the numbers, sizes and grades come from the data.
"""

from collections.abc import Mapping

from .trade_work import Line


def _said(side: str, effort: int, action: str, text: str) -> Line:
    """Advice of the trade with the amount that is wanted."""
    return Line(side, "said", effort, action, text, general=True)


def _pin(bore: str, drags: tuple[str, ...]) -> tuple[Line, ...]:
    """Remedies of a pin in its bore: the pin first, since it wears first and costs least."""
    return (
        Line("both", "renewed", 10, "try a new pin", "try a new pin first: {new}", "shaft"),
        Line("both", "graded", 12, "grade", "pin by grade: {new}", "shaft"),
        Line("both", "graded", 14, "grade", f"{bore} by grade: {{new}}", "bore"),
        Line("both", "paired", 16, "maker's table", "by the maker's table: {new}"),
        Line("small", "suited", 20, "hone", f"hone the {bore} {{window}} for this pin", "bore"),
        Line("both", "renewed", 40, f"new {bore}", "{new}", "bore", drags),
        Line("large", "resized", 50, "ream"),
        _said("both", 80, "other parts", "exchange the worn part or both: {amount} is wanted"),
    )


_BACKLASH = (
    _said(
        "both",
        10,
        "measure elsewhere",
        "turn the gears some teeth on and measure again, the play of their bearings taken up to one side: {amount} is "
        "wanted",
    ),
    _said("large", 20, "bushes and bearings", "a worn bush or bearing lets the centres part: measure these first"),
    _said("large", 40, "exchange the gears", "exchange both gears of the pair together"),
    _said(
        "small",
        30,
        "check the gears",
        "look for burrs, dirt and a gear of another part number; a gear that is fitted on an adjustable centre is set "
        "out by {amount}",
    ),
)

_PLAY_OF_TURBO = (
    _said("small", 10, "clean", "clean off coked oil, turn it by hand and measure again: {amount} is wanted"),
    _said("large", 40, "exchange the centre section", "new bearings or the whole centre section, balanced again"),
)

UNITS: Mapping[str, tuple[Line, ...]] = {
    "valve-lash": (
        Line(
            "both",
            "adjusted",
            5,
            "adjust",
            "set the adjuster; with shims: new shim = old shim + measured - wanted, a change of {amount}",
        ),
    ),
    "spring-installed-height": (
        Line("large", "adjusted", 10, "shim", "a shim under the spring: measured - wanted, {amount}"),
        Line(
            "small",
            "adjusted",
            10,
            "remove a shim",
            "a spring seat lower by {amount}; look for a shim too many",
            general=True,
        ),
    ),
    "valve-stem-clearance": (
        Line("both", "renewed", 10, "try a new valve", "try a new valve first: {new}", "shaft"),
        Line(
            "both",
            "renewed",
            30,
            "new guide",
            "{new}",
            "bore",
            ("ream the new guide", "grind the seat again, true to the guide"),
        ),
        Line("small", "suited", 30, "ream", "ream the guide {window} for this stem", "bore"),
        Line("large", "resized", 40, "ream"),
    ),
    "valve-recession": (
        _said("large", 10, "try a new valve", "try a new valve in this seat first: {amount} less is wanted"),
        Line("large", "resized", 40, "new seat", part="valve-seat"),
        _said("large", 50, "new seat", "a new seat insert, cut to depth; stem height and spring height change with it"),
        _said(
            "small",
            20,
            "cut the seat",
            "grind the seat deeper by {amount}, no more than the page of the seat's width allows; then set stem height "
            "and spring height",
        ),
    ),
    "collapsed-tappet-gap": (
        _said("both", 10, "measure again", "is the tappet at its stop and the cam on its base circle? then read again"),
        _said("large", 30, "longer pushrod", "a pushrod longer by {amount}"),
        _said("small", 30, "shorter pushrod", "a pushrod shorter, or the tip of the valve stem ground, by {amount}"),
    ),
    "valve-to-piston-clearance": (
        _said("both", 5, "check the timing", "check the camshaft's timing mark by mark, then read again"),
        _said("small", 40, "more room", "{amount} more: a thicker head gasket where the page has one, or deeper seats"),
    ),
    "gear-backlash": _BACKLASH,
    "oil-pump-backlash": _BACKLASH,
    "cam-bearing-clearance": (
        Line(
            "both",
            "renewed",
            20,
            "new bearings",
            "{new}",
            "bore",
            ("bearings pressed in with their oil holes in line, and measured once they are in",),
        ),
        Line("both", "shells", 22, "bearings by their wall", "camshaft bearings of another grade or new: {new}"),
        Line("both", "graded", 24, "grade", "bearing by grade: {new}", "bore"),
        Line("both", "paired", 26, "maker's table", "by the maker's table: {new}"),
        Line("small", "suited", 30, "line-bore", "bore or ream the bearings in line {window}", "bore"),
        Line("both", "renewed", 50, "exchange the camshaft", "{new}", "shaft", ("its tappets with it",)),
        Line("large", "resized", 60, "grind the camshaft"),
        _said("both", 80, "other parts", "exchange the worn part or both: {amount} is wanted"),
    ),
    "pin-in-piston-clearance": _pin("piston", ("its own new rings",)),
    "pin-in-rod-clearance": _pin(
        "bushing", ("ream or hone the new bushing to the pin", "check the rod for bend and twist afterwards")
    ),
    "oil-pump-tip-clearance": (
        _said(
            "small", 10, "clean", "clean the rotors, put them in by their marks, and measure again: {amount} is wanted"
        ),
        _said("large", 20, "new rotors", "exchange both rotors as a pair, or the pump: {amount} is too much"),
    ),
    "oil-pump-body-clearance": (
        Line("both", "renewed", 20, "new gears or rotors", "{new}", "shaft", ("both as a pair",)),
        Line("both", "renewed", 40, "new body", "{new}", "bore"),
        _said("large", 50, "exchange the pump", "exchange the pump: {amount} is too much"),
    ),
    "oil-pump-side-clearance": (
        Line("both", "renewed", 20, "new gears or rotors", "{new}", "shaft"),
        Line("large", "adjusted", 30, "face the body", "face the body or lap the cover by {amount}", general=True),
    ),
    "oil-pump-end-play": (
        _said("small", 10, "clean", "clean cover and body, is the gasket too thin? then measure: {amount} is wanted"),
        _said("large", 20, "new gears or rotors", "exchange gears or rotors as a pair: {amount} is too much"),
        _said("large", 30, "face the body", "face the body or lap the cover by {amount}, where the page allows"),
    ),
    "turbo-end-play": _PLAY_OF_TURBO,
    "turbo-radial-play": _PLAY_OF_TURBO,
}
"""Remedies of those quantities that have their own."""
