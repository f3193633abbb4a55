"""Files written whole or not at all."""

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file through a temporary one beside it, so that a failure leaves what was there; text as UTF-8, LF.

    Raises OSError when the folder cannot be written.
    """
    raw = content.encode("utf-8") if isinstance(content, str) else content
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
        Path(name).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
