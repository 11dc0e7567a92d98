"""What can be drawn from a vial, and how many syringes may lie drawn ahead."""

from thawline.prepare.by_volume import Draw, Drawable, doses_in_vial, doses_in_vials
from thawline.prepare.predraw import predrawn_findings

__all__ = ["Draw", "Drawable", "doses_in_vial", "doses_in_vials", "predrawn_findings"]
