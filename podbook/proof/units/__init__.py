"""The unit audit: the unit of every formula, derived from the units of the cells that it names."""

from podbook.proof.units.auditing import Audit, Derived, UnitFault, audit
from podbook.proof.units.sentence import sentence

__all__ = ["Audit", "Derived", "UnitFault", "audit", "sentence"]
