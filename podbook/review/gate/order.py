"""Order in the parts of a workbook that are read for cells and names, by ECMA-376 (part 1, 18.2 to 18.4).

Each program makes its own of what the standard does not allow, so what one reads in it says nothing of the others.
"""

from __future__ import annotations

from collections.abc import Mapping

_MAIN = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
)
_PACKAGE = ("http://schemas.openxmlformats.org/package/2006/relationships",)
_RELATED = (
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships id",
    "http://purl.oclc.org/ooxml/officeDocument/relationships id",
)
_INSIDE: Mapping[str, Mapping[str, str]] = {
    "worksheet": {"sheetData": "worksheet", "row": "sheetData", "c": "row", "f": "c", "v": "c", "is": "c"},
    "workbook": {"sheets": "workbook", "sheet": "sheets", "definedNames": "workbook", "definedName": "definedNames"},
    "sst": {"si": "sst"},
    "Relationships": {"Relationship": "Relationships"},
}
"""For each kind of part, by its root element: what may stand only in what."""
_HOLDS_ONLY = {"sheetData", "row", "c", "sheets", "definedNames", "Relationships"}
"""Elements in which nothing else may stand, but for extensions."""
_EXTENSIONS = {"extLst", "AlternateContent"}
_ONCE = {"sheetData", "sheets", "definedNames", "f", "v", "is"}
"""Elements that may stand but once in the one that holds them."""
_JUDGED_APART = {*_ONCE, "sheet", "Relationship"}
_OF_TEXT = {"f", "v", "t", "definedName"}
"""Elements that hold a text and nothing else."""


class Order:
    """Follows the elements of one part, each named by its namespace and its name with a blank between."""

    def __init__(self) -> None:
        self.path: list[str] = []
        self.root = ""
        self._right: dict[str, str] = {}
        """For each element of the part's own standard that has its place: the element in which it must stand."""
        self._closed: set[str] = set()
        self._apart: set[str] = set()
        self._texts: set[str] = set()
        self._relations: set[str] = set()
        self._held: dict[str, set[str]] = {}
        """For each open element: what stands in it already that may stand there but once."""

    def begin(self, name: str, attributes: Mapping[str, str]) -> str | None:
        """Take the next element; return what is wrong with it, if something is."""
        above = self.path[-1] if self.path else ""
        self.path.append(name)
        if not above:
            return self._begin_part(name)
        right = self._right.get(name)
        if right != above and (right or above in self._closed or above in self._texts):
            local = _local(name)
            if right or above in self._texts or local not in _EXTENSIONS:
                return f"an element '{local}' where none may be"
        return self._alone(name, attributes) if name in self._apart else None

    def end(self) -> None:
        """Take the end of the last element that has not ended yet."""
        above = self.path.pop()
        if above in self._held:
            del self._held[above]

    def _begin_part(self, name: str) -> str | None:
        space, _, self.root = name.rpartition(" ")
        if self.root not in _INSIDE:
            return None
        if space not in (_PACKAGE if self.root == "Relationships" else _MAIN):
            return f"the root '{self.root}' of another standard"
        home = f"{space} "
        self._right = {home + one: home + other for one, other in _INSIDE[self.root].items()}
        self._closed = {home + each for each in _HOLDS_ONLY}
        self._texts = {home + each for each in _OF_TEXT}
        self._apart = {name for name in self._right if _local(name) in _JUDGED_APART}
        return None

    def _alone(self, name: str, attributes: Mapping[str, str]) -> str | None:
        """Judge an element that may stand but once where it stands, or that must point to a part."""
        local = _local(name)
        if local in _ONCE:
            beside = self._held.setdefault(self.path[-2], set())
            if local in beside:
                return f"two elements '{local}' in one"
            beside.add(local)
        elif local == "sheet" and not any(each in attributes for each in _RELATED):
            return "a sheet without a part"
        elif local == "Relationship":
            if (number := attributes.get("Id", "")) in self._relations:
                return f"two relations '{number[:40]}'"
            self._relations.add(number)
        return None


def _local(name: str) -> str:
    return name.rpartition(" ")[2][:40]
