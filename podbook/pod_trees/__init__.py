"""Pod trees: the usual figures of each kind of tree, with source and mark, and the cautions that go with it."""

from podbook.pod_trees.kind import FIGURES, SAID, Caution, Figure, Kind, PodTrees, Said, Wanted
from podbook.pod_trees.load import load, pod_trees

__all__ = ["FIGURES", "SAID", "Caution", "Figure", "Kind", "PodTrees", "Said", "Wanted", "load", "pod_trees"]
