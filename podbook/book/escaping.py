"""Texts as they stand in XML. The standard library's `saxutils` does the same, but loads all that speaks HTTP first."""

from __future__ import annotations


def escaped(text: str) -> str:
    """Return a text as it stands in an element."""
    if "&" in text or "<" in text or ">" in text or "\r" in text:
        text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\r", "&#13;")
    return text


def quoted(text: str) -> str:
    """Return a text as it stands in an attribute, with its quotation marks."""
    return '"' + escaped(text).replace('"', "&quot;").replace("\n", "&#10;").replace("\t", "&#9;") + '"'
