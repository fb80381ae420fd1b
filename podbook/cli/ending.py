"""How a command ends: whatever happens, its exit code means what it says, and one line tells why."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import click

from podbook.cli.talk import INTERRUPTED, UNCHECKED, UNREAD, talk


def spell_out() -> None:
    """Let letters that the output has no room for be spelled out."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


@contextmanager
def ending() -> Iterator[None]:
    """End the command with an exit code of its own if anything happens in it that it did not foresee."""
    try:
        try:
            yield
        finally:
            if sys.stdout is not None:
                sys.stdout.flush()  # now, for what can't be written is not to change a code that was given
    except KeyboardInterrupt:
        raise SystemExit(INTERRUPTED) from None
    except (click.ClickException, click.Abort, click.exceptions.Exit):
        raise
    except BrokenPipeError:
        _forget()
        raise SystemExit(UNREAD) from None
    except OSError as fault:
        where = f"{fault.filename}: " if fault.filename else ""
        _end(f"{where}{fault.strerror or fault}; make room or way for it, and try again")
    except Exception as fault:
        _end(f"podbook failed ({type(fault).__name__}: {fault}, {_place(fault)}); tell those who keep podbook")


def _end(words: str) -> None:
    with suppress(OSError):
        talk(words)
    _forget()
    raise SystemExit(UNCHECKED) from None


def _forget() -> None:
    """Let nothing that could not be written be tried again as Python ends, which would give a code of its own."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)


def _place(fault: BaseException) -> str:
    """Return where a fault is, in the words of those who keep podbook."""
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return "" if trace is None else f"{Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}"
