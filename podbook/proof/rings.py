"""Rings: what feeds itself, at once or by way of others, in a graph of what feeds what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

Graph = Mapping[str, Iterable[str]]
"""Each key with those that feed it."""


def rings(graph: Graph) -> Iterator[tuple[str, ...]]:
    """Yield groups of keys that feed each other, mostly of one key, each group after all that feed it.

    Source: R. Tarjan, Depth-first search and linear graph algorithms, SIAM Journal on Computing 1 (1972), 146-160.
    """
    number: dict[str, int] = {}
    lowest: dict[str, int] = {}
    open_keys: list[str] = []
    is_open: set[str] = set()
    for start in graph:
        if start in number:
            continue
        path = [(start, iter(graph[start]))]
        while path:
            key, waiting = path[-1]
            if key not in number:
                number[key] = lowest[key] = len(number)
                open_keys.append(key)
                is_open.add(key)
            for feed in waiting:
                if feed not in number:
                    path.append((feed, iter(graph[feed])))
                    break
                if feed in is_open:
                    lowest[key] = min(lowest[key], lowest[feed])
            else:
                path.pop()
                if path:
                    lowest[path[-1][0]] = min(lowest[path[-1][0]], lowest[key])
                if lowest[key] == number[key]:
                    place = open_keys.index(key)
                    group = tuple(open_keys[place:])
                    del open_keys[place:]
                    is_open.difference_update(group)
                    yield group
