"""Conditions of a formula: what each is about and what it says of it, so that several can be said together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from podbook.book.tree import Call, Tree

RELATIONS = {
    "=": "is",
    "<>": "is not",
    "<": "is less than",
    ">": "is more than",
    "<=": "is at most",
    ">=": "is at least",
}


@dataclass(frozen=True)
class Claim:
    """A condition: what it is about, and what it says of it."""

    subject: str
    says: str

    def __str__(self) -> str:
        return f"{self.subject} {self.says}"

    @property
    def of_several(self) -> str:
        """What it says, of more than one."""
        for one, many in (("is ", "are "), ("holds ", "hold ")):
            if self.says.startswith(one):
                return many + self.says.removeprefix(one).replace("its allowed range", "their allowed ranges")
        return self.says


def cases_of(tree: Tree) -> tuple[tuple[tuple[Tree, Tree], ...], Tree]:
    """Return the conditions of an IF with their results, and what holds otherwise; none for what is no IF."""
    found: list[tuple[Tree, Tree]] = []
    while isinstance(tree, Call) and tree.name == "IF" and len(tree.arguments) == 3:
        found.append((tree.arguments[0], tree.arguments[1]))
        tree = tree.arguments[2]
    return tuple(found), tree


def claimed(subjects: Sequence[str], claim: Claim | None, word: str) -> str:
    if claim is None or len(subjects) == 1:
        return subjects[0] if claim is None else str(claim)
    if word == "or":
        return f"{joined(subjects, 'or')} {claim.says}"
    return f"{joined(subjects, 'and')} {claim.of_several}"


def joined(words: Sequence[str], word: str) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {word} {words[-1]}"


def bound_of(of: str, bound: str) -> str:
    """Return whether a node is the low or the high bound of another; an empty text if it is neither."""
    for which in ("low", "high"):
        if bound == f"{of.removesuffix('_entry')}_{which}":
            return which
    return ""
