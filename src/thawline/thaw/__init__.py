"""Whether a vial may go where somebody wants to put it."""

from thawline.thaw.moves import move_findings

__all__ = ["move_findings"]
