"""Files that podbook writes: they appear whole or not at all, and overwrite nothing without being told to."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from podbook.errors import PodbookError
from podbook.stopping import going_along


def refuse(path: Path, suffix: str, *, replace: bool) -> None:
    """Raise PodbookError if no file of this kind may be written to the path."""
    if path.suffix.lower() != suffix:
        kind = "workbook" if suffix == ".xlsx" else "file"
        raise PodbookError(f"{path}: a {kind}'s name must end in {suffix} here; name it so")
    if os.path.lexists(path) and not replace:
        raise PodbookError(f"{path}: is already there; nothing was written. Name another file, or add --replace")
    if not os.path.isdir(path.parent):
        raise PodbookError(f"{path}: there is no folder '{path.parent}'; make it first")


@contextmanager
def drafted(path: Path) -> Iterator[Path]:
    """Give a draft beside the path to write to; it takes the path's place when all went well, and is gone otherwise.

    Raises PodbookError where the path can't be written.
    """
    try:
        handle, name = tempfile.mkstemp(suffix=path.suffix, prefix=".podbook-", dir=path.parent)
        os.close(handle)
        draft = Path(name)
        remove = partial(draft.unlink, missing_ok=True)
        with going_along(remove):
            try:
                yield draft
                draft.chmod(0o666 & ~_umask())
                draft.replace(path)
            finally:
                remove()
    except OSError as problem:
        raise PodbookError(f"{path}: can't be written ({problem.strerror or problem}); name another file") from problem


def _umask() -> int:
    """Return which rights the user denies new files; there is no way to ask but to set it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
