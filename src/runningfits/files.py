"""Files written whole or not at all."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

UNFINISHED = ".unfinished"
"""How the name of a file or folder ends that was not written to its end."""

_CHANGING = "[a-z0-9_]" * 8


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file through a temporary one beside it, so that a failure leaves what was there; text as UTF-8, LF.

    What an earlier run left unfinished goes. A link stays one; a device or pipe is written to. Raises OSError when
    the folder cannot be written.
    """
    raw = content.encode("utf-8") if isinstance(content, str) else content
    with unfinished(path) as beside:
        beside.write_bytes(raw)


@contextmanager
def unfinished(path: Path) -> Iterator[Path]:
    """A temporary file beside a path, which gets its name at the end and goes where that does not come.

    A link stays one; of a device or pipe it is that itself. Raises OSError when the folder cannot be written.
    """
    path = Path(os.path.realpath(path))
    if path.exists() and not path.is_file():
        yield path
        return
    clear(path.parent, path.name)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=UNFINISHED)
    os.close(handle)
    try:
        yield Path(name)
        Path(name).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def folder_beside(path: Path) -> Path:
    """A new temporary folder beside a path, to be given its name when it is whole; earlier unfinished ones go."""
    clear(path.parent, path.name)
    return Path(tempfile.mkdtemp(dir=path.parent, prefix=f".{path.name}.", suffix=UNFINISHED))


def clear(folder: Path, name: str = "") -> None:
    """Take away what runs that were ended left unfinished in a folder, of one name or of all."""
    for left in folder.glob(f".*.{_CHANGING}{UNFINISHED}"):
        if name and left.name != f".{name}{left.name[-len(UNFINISHED) - 9 :]}":
            continue
        if left.is_dir() and not left.is_symlink():
            shutil.rmtree(left, ignore_errors=True)
        else:
            left.unlink(missing_ok=True)
