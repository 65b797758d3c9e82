"""Putting a loadout right: the smallest set of changes to the owner's file, as a proposal and as a diff."""

from minisim.fixing.proposal import Left, Proposal, Step, propose, write

__all__ = ["Left", "Proposal", "Step", "propose", "write"]
