"""Lines of text that fit a terminal."""


def folded(line: str, width: int = 79) -> str:
    r"""A line wrapped between words to a width, what follows indented by four more; a long word stays whole.

    >>> folded("  all: 0.0015 to 0.005 in", 16)
    '  all: 0.0015 to\n      0.005 in'
    """
    from textwrap import wrap

    indent = " " * (len(line) - len(line.lstrip()) + 4)
    return "\n".join(wrap(line, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False))
