"""Run as ``python -m podbook``."""

from podbook.cli import main

main()
