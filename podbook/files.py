"""Files that podbook writes: they appear whole or not at all, and overwrite nothing without being told to."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from podbook.errors import PodbookError


def refuse(path: Path, suffix: str, *, replace: bool) -> None:
    """Raise PodbookError if no file of this kind may be written to the path."""
    if path.suffix.lower() != suffix:
        kind = "workbook" if suffix == ".xlsx" else "file"
        raise PodbookError(f"{path}: a {kind}'s name must end in {suffix} here; name it so")
    if path.exists() and not replace:
        raise PodbookError(f"{path}: is already there; nothing was written. Name another file, or add --replace")
    if not path.parent.is_dir():
        raise PodbookError(f"{path}: there is no folder '{path.parent}'; make it first")


@contextmanager
def drafted(path: Path) -> Iterator[Path]:
    """Give a draft beside the path to write to; it takes the path's place when all went well, and is gone otherwise."""
    handle, name = tempfile.mkstemp(suffix=path.suffix, prefix=".podbook-", dir=path.parent)
    os.close(handle)
    draft = Path(name)
    try:
        yield draft
        draft.chmod(0o644)
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)
