"""What a process may use, and how many may work side by side."""

from __future__ import annotations

import os

import pytest

from podbook.limits import cores


def test_only_the_processors_that_this_process_may_use_count(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda process: {3, 7}, raising=False)
    assert cores() == 2


def test_windows_can_not_wait_for_more_than_61(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: 96)
    assert cores() == 61
